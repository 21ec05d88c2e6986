#include <cstddef>
#include <cstdint>

#include "targets.hpp"

/// Called by the fuzzer for each input. `DUROGRADE_FUZZ_TARGET` is one of the functions of
/// targets.hpp.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    durograde::fuzz::DUROGRADE_FUZZ_TARGET({reinterpret_cast<const char*>(data), size});
    return 0;
}
