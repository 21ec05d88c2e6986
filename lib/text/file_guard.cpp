#include "text/file_guard.hpp"

#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>

#include "text/diagnostic.hpp"
#include "text/release.hpp"
#include "text/spool.hpp"

namespace durograde {
namespace {

bool is_shared(mode_t mode) {
    return S_ISCHR(mode) || S_ISSOCK(mode);
}

Failure refusal(const std::string& path, std::string code, std::string text, std::string mend) {
    return {Exit::usage, Diagnostic{.code = std::move(code),
                                    .text = std::move(text),
                                    .mend = std::move(mend),
                                    .place = {path == "-" ? "standard output" : path, 0, 0}}};
}

}  // namespace

/// False where nothing can be overwritten: there is no such folder, or it is a device.
bool FileGuard::identify(const std::string& path, int standard_stream, Identity& identity) {
    struct stat status {};
    const bool is_there =
        path == "-" ? ::fstat(standard_stream, &status) == 0 : ::stat(path.c_str(), &status) == 0;
    if (is_there) {
        identity = {status.st_dev, status.st_ino, ""};
        return !is_shared(status.st_mode);
    }
    if (path == "-") return false;
    const std::string target = resolve_links(path);
    if (::stat(folder_of(target).c_str(), &status) != 0) return false;
    identity = {status.st_dev, status.st_ino, target.substr(target.rfind('/') + 1)};
    return true;
}

const FileGuard::Known* FileGuard::find(const Identity& identity) const {
    const auto found = std::find_if(known_.begin(), known_.end(),
                                    [&](const Known& known) { return known.identity == identity; });
    return found == known_.end() ? nullptr : &*found;
}

void FileGuard::reads(const std::string& path, const std::string& what) {
    Identity identity;
    if (identify(path, STDIN_FILENO, identity)) known_.push_back({identity, what, true});
}

void FileGuard::writes(const std::string& path, const std::string& what) {
    Identity identity;
    if (!identify(path, STDOUT_FILENO, identity)) return;
    if (const Known* known = find(identity)) {
        if (!known->is_read)
            throw refusal(path, "same-output", what + " would go where " + known->what + " goes",
                          "give each a file of its own");
        const bool in_place = what == "the graded program" && known->what == "the sliced program";
        throw refusal(path, "overwrites-input", what + " would overwrite " + known->what,
                      in_place ? "name another output; `durograde hook` grades a job in place"
                               : "name another file");
    }
    known_.push_back({std::move(identity), what, false});
}

}  // namespace durograde
