#include "text/program_input.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

#include "text/diagnostic.hpp"

namespace durograde {
namespace {

Failure no_input(const std::string& path, const std::string& why) {
    return {Exit::no_input,
            Diagnostic{.code = "no-input",
                       .text = "the input cannot be read: " + why,
                       .mend = "name a file that can be read, or - for standard input",
                       .place = {path, 0, 0}}};
}

}  // namespace

ProgramInput::ProgramInput(File file, std::string name)
    : file_(std::move(file)), name_(std::move(name)) {
    struct stat status {};
    if (::fstat(file_.fd(), &status) != 0) throw no_input(name_, std::strerror(errno));
    if (S_ISDIR(status.st_mode)) throw no_input(name_, "it is a folder");
    // What somebody else has begun to read is taken as a pipe: the program begins where that ended.
    is_regular_ = S_ISREG(status.st_mode) && ::lseek(file_.fd(), 0, SEEK_CUR) == 0;
    if (is_regular_) stamp_ = stamp();
}

ProgramInput ProgramInput::open(const std::string& path) {
    if (path == "-") {
        File own(::fcntl(STDIN_FILENO, F_DUPFD_CLOEXEC, 3));
        if (!own.is_open()) throw no_input("standard input", std::strerror(errno));
        const bool readable = (::fcntl(own.fd(), F_GETFL) & O_ACCMODE) != O_WRONLY;
        if (!readable) throw no_input("standard input", "it is closed");
        return {std::move(own), "standard input"};
    }
    File file(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
    if (!file.is_open()) throw no_input(path, std::strerror(errno));
    return {std::move(file), path};
}

ProgramInput ProgramInput::take(File file, std::string name) {
    return {std::move(file), std::move(name)};
}

ProgramInput ProgramInput::from_text(std::string_view text, std::string name) {
    File file = nameless_file(temporary_folder());
    write_all(file.fd(), text, name);
    ::lseek(file.fd(), 0, SEEK_SET);
    return {std::move(file), std::move(name)};
}

LineSource ProgramInput::first_reading() {
    if (!is_regular_) {
        spool_ = nameless_file(temporary_folder());
        copy_ = std::make_unique<FileSink>(spool_.fd(), "temporary file");
    }
    tap_ = std::make_unique<DigestSink>(copy_.get());
    return {file_.fd(), name_, tap_.get()};
}

void ProgramInput::copy_to(Sink& sink) {
    copy_all(file_.fd(), sink, name_);
}

int ProgramInput::rewound() {
    const int fd = is_regular_ ? file_.fd() : spool_.fd();
    ::lseek(fd, 0, SEEK_SET);
    return fd;
}

int ProgramInput::rewindable() {
    if (!is_regular_ && !spool_.is_open()) {
        spool_ = nameless_file(temporary_folder());
        FileSink spool(spool_.fd(), "temporary file");
        copy_to(spool);
    }
    return rewound();
}

LineSource ProgramInput::second_reading() {
    return {rewound(), name_};
}

ProgramInput::Stamp ProgramInput::stamp() const {
    struct stat status {};
    ::fstat(file_.fd(), &status);
    return {status.st_size, status.st_mtim.tv_sec, status.st_mtim.tv_nsec};
}

void ProgramInput::check_unchanged() const {
    if (!is_regular_ || stamp() == stamp_) return;
    throw Failure(Exit::io_error, Diagnostic{.code = "input-changed",
                                             .text = "the input was changed while it was read",
                                             .mend = "run again when it is complete",
                                             .place = {name_, 0, 0}});
}

}  // namespace durograde
