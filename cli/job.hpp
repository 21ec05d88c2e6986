#pragma once

#include <string>

#include "text/program_input.hpp"

namespace durograde::cli {

/// A job file that nobody else works on: a lock on the file itself, so that nothing is left beside
/// it and a killed process holds nothing.
class Job {
  public:
    /// Throws Failure: Exit::no_input where there is no such file, Exit::busy where another process
    /// holds it.
    explicit Job(std::string path);

    [[nodiscard]] const std::string& path() const noexcept { return path_; }
    /// Its name without folders.
    [[nodiscard]] std::string name() const;
    /// Whether `path` leads to the locked file. Another process may have put a new one there.
    [[nodiscard]] bool is_at(const std::string& path) const;
    /// Throws Failure (Exit::busy) where its own path no longer does.
    void check_in_place() const;
    /// The locked file, from its begin.
    [[nodiscard]] ProgramInput input() const;

  private:
    std::string path_;
    File file_;
};

}  // namespace durograde::cli
