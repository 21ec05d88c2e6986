#include "plan/locate.hpp"

#include <algorithm>
#include <system_error>

namespace durograde::plan {
namespace {

namespace fs = std::filesystem;

bool is_below(const fs::path& path, const fs::path& folder) {
    const auto [at, unused] = std::mismatch(folder.begin(), folder.end(), path.begin(), path.end());
    return at == folder.end();
}

}  // namespace

std::string quoted(const std::string& name) {
    return "`" + name.substr(0, 200) + "`";
}

fs::path folder_of_plan(const std::string& first) {
    std::error_code ignored;
    const fs::path folder = fs::path(first).parent_path();
    return fs::weakly_canonical(folder.empty() ? fs::path(".") : folder, ignored);
}

std::variant<Located, NotLocated> locate(const std::string& name, const std::string& from,
                                         const fs::path& folder) {
    const fs::path path(name);
    const bool is_name = !name.empty() && name.find('\0') == std::string::npos;
    if (!is_name || path.is_absolute()) {
        return NotLocated{
            is_name ? quoted(name) + " is an absolute path" : std::string("this is no file name"),
            "name a file relative to this one"};
    }
    const fs::path shown = (fs::path(from).parent_path() / path).lexically_normal();
    std::error_code error;
    // Made absolute first: a relative name of no file would stay relative.
    const fs::path resolved = fs::weakly_canonical(fs::absolute(shown), error);
    if (!error && is_below(resolved, folder)) return Located{resolved, shown.string()};
    return NotLocated{
        quoted(name) + (error ? " cannot be resolved" : " lies outside of the first plan's folder"),
        "put the file below the folder of the first plan"};
}

}  // namespace durograde::plan
