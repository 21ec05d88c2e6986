// Loaded before the program (LD_PRELOAD): lets chosen calls into the system fail, as disks, quotas
// and kill do.
//
//   FAULT="CALL:FROM[-TO]:WHAT"   the FROM-th to TO-th call of that name; TO may be left out behind
//                                 the "-", for all that follow
//     CALL  nameless (an open with O_TMPFILE), open, read, write, fsync, linkat, rename, malloc,
//           thread (the making of one), readdir
//     WHAT  a number: fails with that errno; kill: the process is killed; short: half of it is
//           done; corrupt: a digit of a bead is changed (only writes that hold one are counted)
//   TRACE=FILE                    appends one line a call, in order: its name and its result
#include <dirent.h>
#include <dlfcn.h>
#include <fcntl.h>
#include <pthread.h>
#include <sys/types.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <csignal>
#include <cstdarg>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <limits>

namespace {

enum class What { nothing, error, kill, cut, corrupt };

struct Fault {
    char call[16] = {};
    long from = 0, to = 0;
    What what = What::nothing;
    int error = 0;
};

Fault fault;
bool is_ready = false;   // what the loader does before is not counted
bool has_begun = false;  // nor what the libraries allocate before the program begins

[[gnu::constructor]] void read_fault() {
    const char* text = std::getenv("FAULT");
    if (text == nullptr) return;
    char what[16] = {}, range[32] = {};
    if (std::sscanf(text, "%15[a-z]:%31[0-9-]:%15s", fault.call, range, what) != 3) std::abort();
    char* end = nullptr;
    fault.from = fault.to = std::strtol(range, &end, 10);
    if (*end == '-') {
        fault.to =
            end[1] == '\0' ? std::numeric_limits<long>::max() : std::strtol(end + 1, &end, 10);
    }
    fault.error = std::atoi(what);
    fault.what = std::strcmp(what, "kill") == 0      ? What::kill
                 : std::strcmp(what, "short") == 0   ? What::cut
                 : std::strcmp(what, "corrupt") == 0 ? What::corrupt
                                                     : What::error;
    is_ready = true;
}

void trace(const char* call, long result) {
    static const char* const file = std::getenv("TRACE");
    if (file == nullptr) return;
    static auto real_open =
        reinterpret_cast<int (*)(const char*, int, ...)>(::dlsym(RTLD_NEXT, "open"));
    static auto real_write =
        reinterpret_cast<ssize_t (*)(int, const void*, std::size_t)>(::dlsym(RTLD_NEXT, "write"));
    static const int fd = real_open(file, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
    char line[64];
    const int length = std::snprintf(line, sizeof line, "%s %ld\n", call, result);
    static_cast<void>(real_write(fd, line, static_cast<std::size_t>(length)));
}

/// What this call of `call` is to suffer. Kills on the spot where that is asked for.
What suffers(const char* call, std::atomic<long>& count) {
    if (!is_ready || std::strcmp(call, fault.call) != 0) return What::nothing;
    const long number = ++count;
    if (number < fault.from || number > fault.to) return What::nothing;
    if (fault.what == What::kill) ::kill(::getpid(), SIGKILL);
    if (fault.what == What::error) errno = fault.error;
    return fault.what;
}

/// The place of the first digit of X in the first whole line "G1 X... E..."; `size` where there is
/// none.
std::size_t first_bead(const char* bytes, std::size_t size) {
    constexpr char begin[] = "\nG1 X";
    for (std::size_t i = 0; i + 6 < size; ++i) {
        if (std::memcmp(bytes + i, begin, 5) != 0) continue;
        for (std::size_t at = i + 5; at + 1 < size && bytes[at] != '\n'; ++at) {
            if (bytes[at] == ' ' && bytes[at + 1] == 'E') return i + 5;
        }
    }
    return size;
}

template <typename Function>
Function* real(const char* name) {
    return reinterpret_cast<Function*>(::dlsym(RTLD_NEXT, name));
}

std::atomic<long> opens, namelesses, reads, writes, fsyncs, linkats, renames, mallocs, threads,
    readdirs;

}  // namespace

extern "C" {

int open(const char* path, int flags, ...) {
    static auto* const next = real<int(const char*, int, ...)>("open");
    va_list rest;
    va_start(rest, flags);
    const bool creates = (flags & O_CREAT) != 0 || (flags & O_TMPFILE) == O_TMPFILE;
    const mode_t mode = creates ? va_arg(rest, mode_t) : 0;
    va_end(rest);
    const bool nameless = (flags & O_TMPFILE) == O_TMPFILE;
    const char* call = nameless ? "nameless" : "open";
    if (suffers(call, nameless ? namelesses : opens) == What::error) return -1;
    const int fd = next(path, flags, mode);
    trace(call, fd);
    return fd;
}

ssize_t read(int fd, void* bytes, std::size_t size) {
    static auto* const next = real<ssize_t(int, void*, std::size_t)>("read");
    const What what = suffers("read", reads);
    if (what == What::error) return -1;
    return next(fd, bytes, what == What::cut ? (size + 1) / 2 : size);
}

ssize_t write(int fd, const void* bytes, std::size_t size) {
    static auto* const next = real<ssize_t(int, const void*, std::size_t)>("write");
    const bool spared =
        fault.what == What::corrupt && first_bead(static_cast<const char*>(bytes), size) == size;
    const What what = spared ? What::nothing : suffers("write", writes);
    if (what == What::error) return -1;
    if (what == What::cut) size = (size + 1) / 2;
    if (what != What::corrupt) {
        const ssize_t count = next(fd, bytes, size);
        trace("write", fd);
        return count;
    }
    auto* copy = static_cast<char*>(std::malloc(size));
    std::memcpy(copy, bytes, size);
    char& digit = copy[first_bead(copy, size)];
    digit = digit == '4' ? '5' : '4';
    const ssize_t count = next(fd, copy, size);
    std::free(copy);
    return count;
}

int fsync(int fd) {
    static auto* const next = real<int(int)>("fsync");
    if (suffers("fsync", fsyncs) == What::error) return -1;
    const int result = next(fd);
    trace("fsync", fd);
    return result;
}

int linkat(int from_folder, const char* from, int to_folder, const char* to, int flags) {
    static auto* const next = real<int(int, const char*, int, const char*, int)>("linkat");
    if (suffers("linkat", linkats) == What::error) return -1;
    const int result = next(from_folder, from, to_folder, to, flags);
    trace("linkat", result);
    return result;
}

int rename(const char* from, const char* to) {
    static auto* const next = real<int(const char*, const char*)>("rename");
    if (suffers("rename", renames) == What::error) return -1;
    const int result = next(from, to);
    trace("rename", result);
    return result;
}

int pthread_create(pthread_t* thread, const pthread_attr_t* attributes, void* (*run)(void*),
                   void* argument) {
    static auto* const next =
        real<int(pthread_t*, const pthread_attr_t*, void* (*)(void*), void*)>("pthread_create");
    // Told by its result, not by errno (POSIX).
    if (suffers("thread", threads) == What::error) return fault.error;
    return next(thread, attributes, run, argument);
}

dirent* readdir(DIR* folder) {
    static auto* const next = real<dirent*(DIR*)>("readdir");
    if (suffers("readdir", readdirs) == What::error) return nullptr;
    return next(folder);
}

void* malloc(std::size_t size) {
    static auto* const next = real<void*(std::size_t)>("malloc");
    if (has_begun && suffers("malloc", mallocs) == What::error) return nullptr;
    return next(size);
}

// The first thing that the program does.
sighandler_t signal(int number, sighandler_t handler) noexcept {
    static auto* const next = real<sighandler_t(int, sighandler_t)>("signal");
    has_begun = true;
    return next(number, handler);
}

}  // extern "C"
