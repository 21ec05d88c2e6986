#include "plan/guard.hpp"

#include <algorithm>
#include <utility>

namespace durograde::plan {
namespace {

bool is_ascii(char byte) {
    return (static_cast<unsigned char>(byte) & 0x80) == 0;
}

class Guard {
  public:
    explicit Guard(std::string_view text) : text_(text) {}

    std::optional<Guarded> run() {
        while (at_ < text_.size() && !fault_) {
            const char byte = text_[at_];
            if (byte == '"' || byte == '\'')
                skip_string(byte);
            else if (byte == '#')
                at_ = std::min(text_.find('\n', at_), text_.size());
            else
                take(byte);
        }
        return fault_;
    }

  private:
    /// One byte outside of strings and comments.
    void take(char byte) {
        constexpr std::string_view ends_of_keys = "\n=,[]{}";
        if (byte == '[' || byte == '{') ++depth_;
        if ((byte == ']' || byte == '}') && depth_ > 0) --depth_;
        if (byte == '.') ++dots_;
        if (ends_of_keys.find(byte) != std::string_view::npos) dots_ = 0;
        if (depth_ > nesting_limit)
            fail("too-deep",
                 "lists and tables are nested more than " + std::to_string(nesting_limit) + " deep",
                 "a plan needs three levels at most");
        if (dots_ >= key_parts_limit)
            fail("too-deep", "this key has more than " + std::to_string(key_parts_limit) + " parts",
                 "a plan needs three parts at most, such as machine.write.set");
        if (!is_ascii(byte))
            fail("syntax", "this character may stand in quotes only",
                 "take it out, or put the text in double quotes");
        ++at_;
    }

    /// The parser takes a quote amid other text for no string: what follows is not skipped there.
    void skip_string(char quote) {
        constexpr std::string_view before = " \t\r\n=,[{.";
        if (at_ > 0 && before.find(text_[at_ - 1]) == std::string_view::npos)
            fail("syntax", "a quote may not stand here",
                 "put a text in quotes as a whole, and nothing right before it");
        if (run_of(quote) >= 3)
            skip_lines_string(quote);
        else
            skip_line_string(quote);
    }

    /// A string on one line; a line break ends it too, which the parser will refuse.
    void skip_line_string(char quote) {
        for (++at_; at_ < text_.size() && text_[at_] != quote && text_[at_] != '\n'; ++at_)
            if (text_[at_] == '\\' && quote == '"') ++at_;
        at_ = std::min(at_ + 1, text_.size());
    }

    /// A string of several lines. TOML lets up to two quotes of its content touch the closing
    /// three, so a run of three to five quotes ends it.
    void skip_lines_string(char quote) {
        at_ += 3;
        while (at_ < text_.size() && !fault_) {
            const std::size_t run = run_of(quote);
            if (text_[at_] == '\\' && quote == '"')
                skip_escape();
            else
                at_ += run == 0 ? 1 : std::min<std::size_t>(run, 5);
            if (run >= 3) return;
        }
    }

    /// A backslash with what it escapes: a character, or line breaks and the blanks around them.
    void skip_escape() {
        ++at_;
        const std::size_t next = std::min(text_.find_first_not_of(" \t\r\n", at_), text_.size());
        if (next < text_.size() && !is_ascii(text_[next])) {
            at_ = next;
            fail("syntax", "a backslash cannot stand before this character",
                 "write two backslashes for one, or the whole text on one line");
        }
        at_ = next > at_ ? next : std::min(at_ + 1, text_.size());
    }

    /// How often `byte` stands here in a row.
    [[nodiscard]] std::size_t run_of(char byte) const {
        return std::min(text_.find_first_not_of(byte, at_), text_.size()) - at_;
    }

    void fail(std::string code, std::string text, std::string mend) {
        if (!fault_) fault_ = Guarded{at_, std::move(code), std::move(text), std::move(mend)};
    }

    std::string_view text_;
    std::size_t at_ = 0, depth_ = 0;
    std::size_t dots_ = 0;  // in the key that may be here
    std::optional<Guarded> fault_;
};

}  // namespace

std::optional<Guarded> guard(std::string_view text) {
    return Guard(text).run();
}

}  // namespace durograde::plan
