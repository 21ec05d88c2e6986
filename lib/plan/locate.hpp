#pragma once

#include <filesystem>
#include <string>
#include <variant>

namespace durograde::plan {

/// A file that a plan names.
struct Located {
    std::filesystem::path resolved;  ///< to tell files apart
    std::string shown;               ///< as the user finds it
};

/// Why a name is not followed.
struct NotLocated {
    std::string text;
    std::string mend;
};

/// The folder of the first plan, below which everything lies that it names.
std::filesystem::path folder_of_plan(const std::string& first);

/// The file that `name`, which stands in the file `from`, means. Only names relative to `from` and
/// below `folder` are followed; symbolic links count as where they lead.
std::variant<Located, NotLocated> locate(const std::string& name, const std::string& from,
                                         const std::filesystem::path& folder);

/// A name from a plan as messages show it.
std::string quoted(const std::string& name);

}  // namespace durograde::plan
