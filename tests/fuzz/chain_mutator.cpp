#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <string>
#include <string_view>
#include <utility>

#include "mutator.hpp"
#include "targets.hpp"

/// How the fuzzer changes a plan with its program: both by the line, the program more often. Now
/// and then bytes are changed as they come, so that no text is out of reach.

extern "C" std::size_t LLVMFuzzerMutate(std::uint8_t* data, std::size_t size, std::size_t max_size);

namespace {

using durograde::fuzz::LineMutator;
using durograde::fuzz::program_follows;

struct Chain {
    std::string plan, program;
};

Chain chain_of(const std::uint8_t* data, std::size_t size) {
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    const std::size_t at = text.find(program_follows);
    if (at == std::string_view::npos) return {std::string(text), {}};
    return {std::string(text.substr(0, at)), std::string(text.substr(at + program_follows.size()))};
}

std::size_t put(const Chain& chain, std::uint8_t* data, std::size_t max_size) {
    const std::string text = chain.plan + std::string(program_follows) + chain.program;
    const std::size_t size = std::min(text.size(), max_size);
    std::memcpy(data, text.data(), size);
    return size;
}

}  // namespace

extern "C" std::size_t LLVMFuzzerCustomMutator(std::uint8_t* data, std::size_t size,
                                               std::size_t max_size, unsigned seed) {
    LineMutator mutator(seed);
    if (mutator.pick(30) == 0) return LLVMFuzzerMutate(data, size, max_size);
    Chain chain = chain_of(data, size);
    const bool in_plan = mutator.pick(4) == 0;
    std::string& text = in_plan ? chain.plan : chain.program;
    for (std::size_t changes = mutator.pick(3) + 1; changes > 0; --changes) {
        text = mutator.change(
            text, in_plan ? durograde::fuzz::plan_words() : durograde::fuzz::program_words());
    }
    return put(chain, data, max_size);
}

extern "C" std::size_t LLVMFuzzerCustomCrossOver(const std::uint8_t* one, std::size_t one_size,
                                                 const std::uint8_t* other, std::size_t other_size,
                                                 std::uint8_t* out, std::size_t max_size,
                                                 unsigned seed) {
    LineMutator mutator(seed);
    Chain chain = chain_of(one, one_size);
    const Chain second = chain_of(other, other_size);
    if (mutator.pick(3) == 0) {
        chain.plan = second.plan;
    } else {
        chain.program = mutator.splice(chain.program, second.program);
    }
    return put(chain, out, max_size);
}
