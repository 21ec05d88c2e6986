#pragma once

#include <optional>
#include <string_view>

namespace durograde {

/// What a file is that is no G-code.
struct FileKind {
    std::string_view name;  ///< with its article: "a PNG picture"
    std::string_view mend;  ///< what to do to get G-code
};

/// What a file looks like by its first bytes, a few hundred at most; nothing where it may be
/// G-code. Signatures are those of the formats' own specifications.
std::optional<FileKind> foreign_kind(std::string_view begin);

}  // namespace durograde
