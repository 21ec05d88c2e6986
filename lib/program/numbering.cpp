#include "program/numbering.hpp"

#include <algorithm>

#include "text/number.hpp"

namespace durograde::program {
namespace {

bool sets_count(const grammar::Line& line) {
    return line.word_count > 0 && line.words[0].letter == 'M' && line.words[0].is_whole(110);
}

/// The command with its bracket comments, without line number, checksum and ';' comment.
std::string_view body_of(std::string_view text, const grammar::Line& line) {
    std::string_view body = text.substr(line.body_begin);
    if (line.has_checksum) {
        body = text.substr(line.body_begin, line.checksum_at - line.body_begin);
    } else if (line.is_malformed()) {
        // A sentence, say: its checksum is not parsed, but stands at its end all the same.
        body = body.substr(0, body.find_last_not_of(" \t") + 1);
        const std::size_t star = body.find_last_of('*');
        const bool is_checksum =
            star != std::string_view::npos && star + 1 < body.size() &&
            body.find_first_not_of("0123456789", star + 1) == std::string_view::npos;
        if (line.has_number && is_checksum) body = body.substr(0, star);
    } else {
        body = text.substr(line.body_begin, line.comment_at - line.body_begin);
    }
    body.remove_prefix(std::min(body.find_first_not_of(" \t"), body.size()));
    return body.substr(0, body.find_last_not_of(" \t") + 1);
}

}  // namespace

Numbering::Numbering(Sink& next, std::int64_t first, bool checksums)
    : next_(next), number_(first), checksums_(checksums) {}

void Numbering::write(std::string_view bytes) {
    while (!bytes.empty()) {
        const std::size_t feed = bytes.find('\n');
        if (feed == std::string_view::npos) {
            partial_ += bytes;
            break;
        }
        std::string_view whole = bytes.substr(0, feed + 1);
        bytes.remove_prefix(feed + 1);
        if (!partial_.empty()) {
            partial_ += whole;
            whole = partial_;
        }
        const std::size_t text_end = whole.find_last_not_of("\r\n") + 1;
        write_line(whole.substr(0, text_end), whole.substr(text_end));
        partial_.clear();
    }
    next_.write(out_.view());
    out_.clear();
}

void Numbering::finish() {
    if (!partial_.empty()) write_line(partial_, "");
    partial_.clear();
    next_.write(out_.view());
    out_.clear();
}

void Numbering::write_line(std::string_view text, std::string_view ending) {
    grammar::parse_line(text, line_);
    if (line_.word_count == 0 && !line_.has_number) {
        out_.append(text);
    } else if (sets_count(line_)) {
        out_.append(text);
        const grammar::Word* n = line_.find('N');
        number_ = (n != nullptr ? static_cast<std::int64_t>(n->number()) : line_.number) + 1;
    } else {
        const std::string_view body = body_of(text, line_);
        const std::size_t comment_at = std::max<std::size_t>(line_.comment_at, line_.body_begin);
        write_numbered(body, text.substr(std::min(comment_at, text.size())));
    }
    out_.append(ending);
}

void Numbering::write_numbered(std::string_view body, std::string_view comment) {
    const std::size_t begin = out_.size();
    if (line_.deleted) out_.append('/');
    out_.append('N');
    out_.commit_to(write_fixed(out_.room(24), number_++, 0));
    out_.append(' ');
    out_.append(body);
    if (checksums_) {
        const std::uint8_t sum = grammar::checksum_of(out_.view().substr(begin));
        out_.append('*');
        out_.commit_to(write_fixed(out_.room(24), sum, 0));
    }
    if (!comment.empty()) {
        out_.append(' ');
        out_.append(comment);
    }
}

}  // namespace durograde::program
