#include "interrupts.hpp"

#include <poll.h>
#include <sys/eventfd.h>
#include <sys/signalfd.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdint>
#include <cstdlib>
#include <cstring>
#include <exception>
#include <utility>

#include "text/diagnostic.hpp"

namespace durograde::cli {
namespace {

sigset_t signals_not_ignored() {
    sigset_t set;
    ::sigemptyset(&set);
    for (const int signal : {SIGINT, SIGTERM, SIGHUP}) {
        struct sigaction now {};
        const bool is_ignored = ::sigaction(signal, nullptr, &now) == 0 &&
                                (now.sa_flags & SA_SIGINFO) == 0 && now.sa_handler == SIG_IGN;
        if (!is_ignored) ::sigaddset(&set, signal);
    }
    return set;
}

File opened(int fd) {
    if (fd >= 0) return File(fd);
    throw Failure(
        Exit::io_error,
        Diagnostic{.code = "io-failed",
                   .text = std::string("signals cannot be waited for: ") + std::strerror(errno),
                   .mend = "leave out --stream, or allow the process more open files"});
}

}  // namespace

Interrupts::Interrupts(std::function<void()> act)
    : act_(std::move(act)), set_(signals_not_ignored()) {
    signals_ = opened(::signalfd(-1, &set_, SFD_CLOEXEC));
    stop_ = opened(::eventfd(0, EFD_CLOEXEC));
    ::pthread_sigmask(SIG_BLOCK, &set_, &before_);
    thread_ = std::thread([this] { watch(); });
}

Interrupts::~Interrupts() {
    const std::uint64_t one = 1;
    static_cast<void>(::write(stop_.fd(), &one, sizeof one));
    thread_.join();
    ::pthread_sigmask(SIG_SETMASK, &before_, nullptr);
}

void Interrupts::watch() {
    std::array<pollfd, 2> either = {{{signals_.fd(), POLLIN, 0}, {stop_.fd(), POLLIN, 0}}};
    while (::poll(either.data(), either.size(), -1) < 0 && errno == EINTR) continue;
    if ((either[0].revents & POLLIN) == 0) return;
    signalfd_siginfo info{};
    if (::read(signals_.fd(), &info, sizeof info) != sizeof info) return;
    end_by(static_cast<int>(info.ssi_signo));
}

void Interrupts::end_by(int signal) {
    // From here on this thread takes signals as they come: a second one is the end.
    ::pthread_sigmask(SIG_UNBLOCK, &set_, nullptr);
    try {
        act_();
    } catch (const std::exception&) {
        // Nobody is left to be told: the process ends anyway.
    }
    ::kill(::getpid(), signal);
    std::_Exit(128 + signal);  // where somebody has had it ignored since
}

}  // namespace durograde::cli
