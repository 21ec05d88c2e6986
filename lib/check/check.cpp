#include "check/check.hpp"

#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <memory>
#include <optional>

#include "check/comparison.hpp"
#include "check/first_look.hpp"
#include "check/wishes.hpp"
#include "text/diagnostic.hpp"

namespace durograde::check {
namespace {

constexpr std::size_t block_bytes = std::size_t{1} << 17;
using Block = std::array<char, block_bytes>;

std::size_t read_block(int fd, std::uint64_t offset, Block& block, const std::string& name) {
    std::size_t filled = 0;
    while (filled < block.size()) {
        const ssize_t count = ::pread(fd, block.data() + filled, block.size() - filled,
                                      static_cast<off_t>(offset + filled));
        if (count == 0) break;
        if (count < 0 && errno == EINTR) continue;
        if (count < 0) {
            throw Failure(Exit::io_error,
                          Diagnostic{.code = "read-failed",
                                     .text = std::string("reading failed: ") + std::strerror(errno),
                                     .mend = "check the disk, then run again",
                                     .place = {name, 0, 0}});
        }
        filled += static_cast<std::size_t>(count);
    }
    return filled;
}

/// Nothing asked: the output is the input, byte for byte.
void compare_bytes(int before_fd, const std::string& before_name, int after_fd,
                   const std::string& after_name, Ledger& ledger) {
    const auto a = std::make_unique<Block>(), b = std::make_unique<Block>();
    std::uint64_t offset = 0, line = 1;
    for (;;) {
        const std::size_t a_size = read_block(before_fd, offset, *a, before_name);
        const std::size_t b_size = read_block(after_fd, offset, *b, after_name);
        const std::size_t common = std::min(a_size, b_size);
        const auto differs =
            std::mismatch(a->begin(), a->begin() + static_cast<std::ptrdiff_t>(common), b->begin());
        line += static_cast<std::uint64_t>(std::count(a->begin(), differs.first, '\n'));
        if (differs.first != a->begin() + static_cast<std::ptrdiff_t>(common) || a_size != b_size) {
            const auto at = offset + static_cast<std::uint64_t>(differs.first - a->begin());
            return ledger.fail(
                Invariant::nothing_asked, {1.0}, {line, line},
                "the plan asks nothing, and yet byte " + std::to_string(at + 1) + " differs");
        }
        if (a_size == 0) return;
        offset += a_size;
    }
}

}  // namespace

Verdict check(const plan::Plan& plan, int before_fd, std::string before_name, int after_fd,
              std::string after_name) {
    Ledger ledger;
    if (plan.asks_nothing()) {
        compare_bytes(before_fd, before_name, after_fd, after_name, ledger);
        return ledger.verdict();
    }
    const FirstLook look = look_at(plan, before_fd, before_name);
    std::optional<plan::Plan> with_answers;
    if (plan.has_wishes()) {
        with_answers = answered(plan, look, after_fd, before_name, ledger);
        if (!with_answers) return ledger.verdict();
    }
    const plan::Plan& asked = with_answers ? *with_answers : plan;
    const auto depth = measure_depth(asked, look, before_name);
    Reader before(asked, before_fd, std::move(before_name));
    Reader after(asked, after_fd, std::move(after_name));
    // Arcs stand in the output as they did, among others that are written with more decimals.
    constexpr double rounding_mm = 0.003;  // of three decimals at least
    after.allow_arcs_off_by(look.arcs_off_by_mm + rounding_mm);
    Comparison(asked, look, depth.get(), before, after, ledger).run();
    return ledger.verdict();
}

}  // namespace durograde::check
