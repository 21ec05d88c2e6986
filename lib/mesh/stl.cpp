#include "mesh/stl.hpp"

#include <bit>
#include <charconv>
#include <cstdint>
#include <cstring>
#include <optional>

namespace durograde::mesh {
namespace {

static_assert(std::endian::native == std::endian::little, "STL is little-endian");

constexpr std::size_t head_size = 84, triangle_size = 50, normal_size = 12;

template <typename Number>
Number number_at(std::string_view bytes, std::size_t offset) {
    Number number;
    std::memcpy(&number, bytes.data() + offset, sizeof number);
    return number;
}

/// As many triangles as a binary file says that it holds; 0 where its size is another.
std::size_t binary_count(std::string_view bytes) {
    if (bytes.size() < head_size) return 0;
    const std::size_t count = number_at<std::uint32_t>(bytes, head_size - 4);
    return (bytes.size() - head_size) / triangle_size >= count ? count : 0;
}

std::vector<Point> read_binary(std::string_view bytes, std::size_t count) {
    std::vector<Point> soup;
    soup.reserve(count * 3);
    for (std::size_t i = 0; i < count; ++i) {
        for (std::size_t corner = 0; corner < 3; ++corner) {
            const std::size_t at =
                head_size + i * triangle_size + normal_size + corner * 3 * sizeof(float);
            soup.push_back({number_at<float>(bytes, at), number_at<float>(bytes, at + 4),
                            number_at<float>(bytes, at + 8)});
        }
    }
    return soup;
}

/// Reads a text file word by word.
class Words {
  public:
    explicit Words(std::string_view text) : text_(text) {}

    /// The next word, empty at the end.
    std::string_view next() {
        constexpr std::string_view blanks = " \t\r\n\f\v";
        const std::size_t begin = std::min(text_.find_first_not_of(blanks, at_), text_.size());
        at_ = std::min(text_.find_first_of(blanks, begin), text_.size());
        return text_.substr(begin, at_ - begin);
    }
    bool take(std::string_view word) {
        const std::size_t before = at_;
        if (next() == word) return true;
        at_ = before;
        return false;
    }
    std::optional<double> number() {
        std::string_view word = next();
        if (word.starts_with('+')) word.remove_prefix(1);
        double value = 0.0;
        const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
        if (error != std::errc() || end != word.data() + word.size()) return std::nullopt;
        return value;
    }
    bool point(Point& point) {
        for (double& value : point) {
            const auto read = number();
            if (!read) return false;
            value = *read;
        }
        return true;
    }
    void skip_line() { at_ = std::min(text_.find('\n', at_), text_.size()); }
    [[nodiscard]] std::size_t line() const {
        std::size_t count = 1;
        for (const char byte : text_.substr(0, at_)) count += byte == '\n' ? 1 : 0;
        return count;
    }

  private:
    std::string_view text_;
    std::size_t at_ = 0;
};

/// What follows `facet`; its normal may be anything.
bool read_facet(Words& words, std::vector<Point>& soup) {
    if (!words.take("normal")) return false;
    for (int i = 0; i < 3; ++i) words.next();
    if (!words.take("outer") || !words.take("loop")) return false;
    for (int i = 0; i < 3; ++i) {
        Point point{};
        if (!words.take("vertex") || !words.point(point)) return false;
        soup.push_back(point);
    }
    return words.take("endloop") && words.take("endfacet");
}

Soup read_text(std::string_view text) {
    std::vector<Point> soup;
    Words words(text);
    const auto broken = [&] { return "is broken at line " + std::to_string(words.line()); };
    while (words.take("solid")) {
        words.skip_line();
        while (words.take("facet")) {
            if (!read_facet(words, soup)) return broken();
        }
        if (!words.take("endsolid")) return broken();
        words.skip_line();
    }
    if (!words.next().empty()) return broken();
    return soup;
}

}  // namespace

Soup read_stl(std::string_view bytes) {
    // The size tells better than the first word: binary files begin with "solid" too.
    if (const std::size_t count = binary_count(bytes); count > 0) return read_binary(bytes, count);
    constexpr std::string_view blanks = " \t\r\n";
    const std::size_t begin = std::min(bytes.find_first_not_of(blanks), bytes.size());
    if (bytes.substr(begin).starts_with("solid")) return read_text(bytes);
    if (bytes.size() < head_size) return "is too short for STL";
    return "holds fewer triangles than it says";
}

}  // namespace durograde::mesh
