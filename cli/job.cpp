#include "job.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <filesystem>

#include "text/diagnostic.hpp"

namespace durograde::cli {
namespace {

Failure no_job(const std::string& path, const std::string& why) {
    return {Exit::no_input, Diagnostic{.code = "no-input",
                                       .text = "the job cannot be read: " + why,
                                       .mend = "name a sliced program that is a file",
                                       .place = {path, 0, 0}}};
}

Failure busy(const std::string& path) {
    return {Exit::busy, Diagnostic{.code = "job-busy",
                                   .text = "another process works on this job",
                                   .mend = "try again later",
                                   .place = {path, 0, 0}}};
}

bool leads_to(const std::string& path, const struct stat& open) {
    struct stat now {};
    return ::stat(path.c_str(), &now) == 0 && now.st_dev == open.st_dev &&
           now.st_ino == open.st_ino;
}

File lock(const std::string& path) {
    constexpr int most_attempts = 100;
    for (int attempt = 0; attempt < most_attempts; ++attempt) {
        // A pipe must not be waited for.
        File file(::open(path.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC));
        if (!file.is_open()) throw no_job(path, std::strerror(errno));
        struct stat status {};
        if (::fstat(file.fd(), &status) != 0) throw no_job(path, std::strerror(errno));
        if (!S_ISREG(status.st_mode)) throw no_job(path, "it is no file");
        if (::flock(file.fd(), LOCK_EX | LOCK_NB) != 0) {
            if (errno == EWOULDBLOCK) throw busy(path);
            throw no_job(path, std::string("it cannot be locked: ") + std::strerror(errno));
        }
        if (leads_to(path, status)) return file;
    }
    throw busy(path);
}

}  // namespace

Job::Job(std::string path) : path_(std::move(path)), file_(lock(path_)) {}

std::string Job::name() const {
    return std::filesystem::path(path_).filename();
}

bool Job::is_at(const std::string& path) const {
    struct stat own {};
    return ::fstat(file_.fd(), &own) == 0 && leads_to(path, own);
}

void Job::check_in_place() const {
    if (is_at(path_)) return;
    throw Failure(Exit::busy,
                  Diagnostic{.code = "job-replaced",
                             .text = "the job was replaced or removed while it was graded; what "
                                     "stands there now was not touched",
                             .mend = "run again: the new job is graded then",
                             .place = {path_, 0, 0}});
}

ProgramInput Job::input() const {
    ::lseek(file_.fd(), 0, SEEK_SET);
    return ProgramInput::take(File(::fcntl(file_.fd(), F_DUPFD_CLOEXEC, 3)), path_);
}

}  // namespace durograde::cli
