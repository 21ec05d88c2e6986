#include "text/digest.hpp"

#include <xxhash.h>

#include <array>
#include <cstdio>
#include <new>

namespace durograde {

void Digest::Free::operator()(XXH3_state_s* state) const noexcept {
    XXH3_freeState(state);
}

Digest::Digest() : state_(XXH3_createState()) {
    if (state_ == nullptr) throw std::bad_alloc();
    XXH3_128bits_reset(state_.get());
}

void Digest::add(std::string_view bytes) {
    XXH3_128bits_update(state_.get(), bytes.data(), bytes.size());
}

std::string Digest::hex() const {
    XXH128_canonical_t canonical;
    XXH128_canonicalFromHash(&canonical, XXH3_128bits_digest(state_.get()));
    std::string text;
    for (const unsigned char byte : canonical.digest) {
        std::array<char, 3> digits{};
        std::snprintf(digits.data(), digits.size(), "%02x", static_cast<unsigned>(byte));
        text += digits.data();
    }
    return text;
}

void DigestSink::write(std::string_view bytes) {
    digest_.add(bytes);
    if (next_ != nullptr) next_->write(bytes);
}

}  // namespace durograde
