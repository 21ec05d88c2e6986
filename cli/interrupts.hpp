#pragma once

#include <csignal>
#include <functional>
#include <thread>

#include "text/file.hpp"

namespace durograde::cli {

/// While one lives, INT, TERM and HUP end the process in order: `act` runs on a thread of its own,
/// then the process ends by the signal as it would have. A second signal ends it at once. A signal
/// that the caller has had ignored (nohup) stays ignored. Make it before other threads are started:
/// they must not take the signals.
class Interrupts {
  public:
    explicit Interrupts(std::function<void()> act);
    Interrupts(const Interrupts&) = delete;
    Interrupts& operator=(const Interrupts&) = delete;
    ~Interrupts();

  private:
    void watch();
    void end_by(int signal);

    std::function<void()> act_;
    sigset_t set_{}, before_{};
    File signals_, stop_;
    std::thread thread_;
};

}  // namespace durograde::cli
