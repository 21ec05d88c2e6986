#include "mesh/apart.hpp"

#include <fcntl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <csignal>
#include <cstring>
#include <fstream>
#include <new>
#include <string_view>

namespace durograde::mesh {
namespace {

constexpr char is_points = 'p', is_fault = 'f';
constexpr int no_memory = 2;

void write_all(int fd, std::string_view bytes) {
    while (!bytes.empty()) {
        const ssize_t written = ::write(fd, bytes.data(), bytes.size());
        if (written < 0 && errno == EINTR) continue;
        if (written < 0) ::_exit(1);
        bytes.remove_prefix(static_cast<std::size_t>(written));
    }
}

/// To what the process has already.
void limit_memory(std::size_t bytes) {
    std::ifstream statm("/proc/self/statm");
    std::size_t pages = 0;
    if (!(statm >> pages)) return;
    const std::size_t most = pages * static_cast<std::size_t>(::sysconf(_SC_PAGESIZE)) + bytes;
    rlimit limit{};
    if (::getrlimit(RLIMIT_AS, &limit) != 0 || limit.rlim_cur <= most) return;
    limit.rlim_cur = most;
    ::setrlimit(RLIMIT_AS, &limit);
}

/// The child: sends what `read` gives, and ends.
[[noreturn]] void run_child(int fd, const std::function<Soup()>& read, const Allowance& most) {
    const rlimit none{0, 0};
    ::setrlimit(RLIMIT_CORE, &none);
    // Whatever the program does at its own end is not for the child's.
    for (const int number : {SIGALRM, SIGABRT, SIGSEGV, SIGBUS, SIGFPE, SIGILL, SIGTERM, SIGINT})
        std::signal(number, SIG_DFL);
    ::alarm(most.seconds);
    limit_memory(most.memory_bytes);
    // What the library says of itself is not for the user.
    const int nowhere = ::open("/dev/null", O_WRONLY);
    if (nowhere >= 0) {
        ::dup2(nowhere, STDERR_FILENO);
        ::dup2(nowhere, STDOUT_FILENO);
    }
    try {
        const Soup soup = read();
        if (const auto* fault = std::get_if<std::string>(&soup)) {
            write_all(fd, is_fault + *fault);
        } else {
            const auto& points = std::get<std::vector<Point>>(soup);
            write_all(fd, std::string_view(&is_points, 1));
            write_all(fd, {static_cast<const char*>(static_cast<const void*>(points.data())),
                           points.size() * sizeof(Point)});
        }
    } catch (const std::bad_alloc&) {
        ::_exit(no_memory);
    } catch (...) {
        ::_exit(1);
    }
    ::_exit(0);
}

std::string receive(int fd) {
    std::string bytes;
    std::array<char, 65536> chunk;
    for (;;) {
        const ssize_t count = ::read(fd, chunk.data(), chunk.size());
        if (count < 0 && errno == EINTR) continue;
        if (count <= 0) return bytes;
        bytes.append(chunk.data(), static_cast<std::size_t>(count));
    }
}

int wait_for(pid_t child) {
    int status = 0;
    while (::waitpid(child, &status, 0) < 0 && errno == EINTR) {
    }
    return status;
}

Soup unpack(std::string_view bytes) {
    const std::string_view rest = bytes.substr(1);
    if (bytes.front() == is_fault) return std::string(rest);
    std::vector<Point> points(rest.size() / sizeof(Point));
    if (!points.empty()) std::memcpy(points.data(), rest.data(), points.size() * sizeof(Point));
    return points;
}

}  // namespace

Soup read_apart(const std::function<Soup()>& read, const Allowance& most) {
    std::array<int, 2> ends{};
    if (::pipe2(ends.data(), O_CLOEXEC) != 0) return "cannot be read: no pipe is left";
    const pid_t child = ::fork();
    if (child == 0) run_child(ends[1], read, most);
    ::close(ends[1]);
    const std::string bytes = child > 0 ? receive(ends[0]) : std::string();
    ::close(ends[0]);
    if (child < 0) return "cannot be read: no further process can be started";
    const int status = wait_for(child);
    if (WIFEXITED(status) && WEXITSTATUS(status) == 0 && !bytes.empty()) return unpack(bytes);
    if (WIFSIGNALED(status) && WTERMSIG(status) == SIGALRM)
        return "takes longer than " + std::to_string(most.seconds) + " s to read";
    if (WIFEXITED(status) && WEXITSTATUS(status) == no_memory)
        return "takes more than " + std::to_string(most.memory_bytes >> 20U) + " MiB to read";
    return "is broken";
}

}  // namespace durograde::mesh
