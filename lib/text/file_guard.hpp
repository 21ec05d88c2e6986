#pragma once

#include <sys/types.h>

#include <string>
#include <vector>

namespace durograde {

/// Keeps outputs off the files that a command reads, and off each other. Files are told apart by
/// device and inode, so that links and ".." hide nothing; one that is not there yet by its folder
/// and its name. Terminals, sockets and other character devices may be read and written at once.
class FileGuard {
  public:
    /// Notes a file that is read ("-": standard input); `what` names it in messages: "the plan".
    void reads(const std::string& path, const std::string& what);
    /// Notes a file that will be written ("-": standard output). Call it before the file is opened.
    /// Throws Failure (Exit::usage) where it is one that is read, or another output.
    void writes(const std::string& path, const std::string& what);

  private:
    struct Identity {
        dev_t device = 0;
        ino_t inode = 0;
        std::string
            name;  ///< within the folder that the numbers are of; empty: they are the file's
        friend bool operator==(const Identity&, const Identity&) = default;
    };
    struct Known {
        Identity identity;
        std::string what;
        bool is_read = false;
    };

    static bool identify(const std::string& path, int standard_stream, Identity& identity);
    [[nodiscard]] const Known* find(const Identity& identity) const;

    std::vector<Known> known_;
};

}  // namespace durograde
