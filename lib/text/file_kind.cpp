#include "text/file_kind.hpp"

#include <algorithm>
#include <array>
#include <string>

namespace durograde {
namespace {

struct Signature {
    std::string_view bytes;  // in lower case where letters of either case count
    FileKind kind;
};

constexpr std::string_view plain_text = "give the program as plain text";
constexpr std::string_view slice_it = "slice it: what can be graded is the G-code of a print";

constexpr std::array exact = {
    Signature{"PK\x03\x04", {"a zip container", "unpack it, or export plain G-code"}},
    Signature{"\x1f\x8b", {"a gzip file", "unpack it"}},
    Signature{"\x89PNG", {"a PNG picture", plain_text}},
    Signature{"\xff\xd8\xff", {"a JPEG picture", plain_text}},
    Signature{"%PDF-", {"a PDF document", plain_text}},
    Signature{"\x7f"
              "ELF",
              {"a binary file", plain_text}},
    Signature{"\xff\xfe", {"a text in UTF-16", "save it as UTF-8"}},
    Signature{"\xfe\xff", {"a text in UTF-16", "save it as UTF-8"}},
    Signature{"version https://git-lfs",
              {"a pointer to a file that Git LFS keeps elsewhere", "fetch the file: git lfs pull"}},
    Signature{"version https://", {"a pointer to a file kept elsewhere", "fetch the file itself"}},
};
/// After a byte-order mark and blanks, in either case.
constexpr std::array markup = {
    Signature{"<!doctype html", {"an HTML page", "download the file itself, not the page of it"}},
    Signature{"<html", {"an HTML page", "download the file itself, not the page of it"}},
    Signature{"<?xml", {"an XML file", plain_text}},
    Signature{"solid ", {"an STL surface", slice_it}},
    Signature{"solid\n", {"an STL surface", slice_it}},
    Signature{"solid\r", {"an STL surface", slice_it}},
};

std::string lower_case_begin(std::string_view begin) {
    constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";
    if (begin.starts_with(byte_order_mark)) begin.remove_prefix(byte_order_mark.size());
    begin.remove_prefix(std::min(begin.find_first_not_of(" \t\r\n"), begin.size()));
    std::string lower(begin.substr(0, 32));
    for (char& byte : lower)
        if (byte >= 'A' && byte <= 'Z') byte = static_cast<char>(byte | 0x20);
    return lower;
}

}  // namespace

std::optional<FileKind> foreign_kind(std::string_view begin) {
    for (const Signature& signature : exact)
        if (begin.starts_with(signature.bytes)) return signature.kind;
    const std::string text = lower_case_begin(begin);
    for (const Signature& signature : markup)
        if (text.starts_with(signature.bytes)) return signature.kind;
    if (begin.substr(0, 200).find('\0') == std::string_view::npos) return std::nullopt;
    return FileKind{"a binary file", plain_text};
}

}  // namespace durograde
