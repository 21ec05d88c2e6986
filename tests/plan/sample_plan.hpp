#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "plan/load.hpp"

/// A plan for pads of a seedling-transplanting gripper, and what the tests do to it.
namespace durograde::plan_test {

/// A full plan in which everything is right and every feature of this version is asked for.
std::string good_plan();

/// The smallest plan: one zone that keeps everything.
std::string small_plan();

/// Every key of the format once, also those that are refused or contradict each other.
std::string plan_with_every_key();

/// `text` with the first `from` after `after` replaced; fails the test where there is none.
std::string replaced(const std::string& text, const std::string& from, const std::string& to,
                     const std::string& after = "");

/// The diagnostics that loading ends with; empty where it succeeds. Checks that each has a code, a
/// text and a remedy, and that it names its file.
std::vector<Diagnostic> faults_of(const std::string& text,
                                  const std::vector<plan::Override>& overrides = {});

/// The first diagnostic with this code; fails the test where there is none.
Diagnostic fault(const std::string& text, const std::string& code);
Diagnostic find_fault(const std::vector<Diagnostic>& faults, const std::string& code);
bool contains(const std::string& text, const std::string& part);
std::string repeated(const std::string& text, std::size_t count);

/// The line, from 1, of the first `what` in `text`.
std::size_t line_of(const std::string& text, const std::string& what);

/// A folder that is removed at the end of the test.
class Folder {
  public:
    Folder();
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    ~Folder();

    [[nodiscard]] const std::filesystem::path& path() const { return path_; }
    /// Writes a file, making its folders, and returns its path.
    std::string write(const std::string& name, const std::string& text) const;

  private:
    std::filesystem::path path_;
};

/// The diagnostics that loading a file ends with, and the exit status in `exit`.
std::vector<Diagnostic> faults_of_file(const std::string& file, Exit* exit = nullptr);

}  // namespace durograde::plan_test
