#pragma once

#include <memory>
#include <string>
#include <string_view>

#include "text/sink.hpp"

struct XXH3_state_s;

namespace durograde {

/// Digest of bytes: XXH3 with 128 bits. It tells a whole text from a cut or changed one; it is no
/// proof against somebody who means to deceive.
class Digest {
  public:
    Digest();
    void add(std::string_view bytes);
    /// Of all bytes so far, as 32 hexadecimal digits.
    [[nodiscard]] std::string hex() const;

  private:
    struct Free {
        void operator()(XXH3_state_s* state) const noexcept;
    };
    std::unique_ptr<XXH3_state_s, Free> state_;
};

/// Passes bytes on, if there is somewhere to, and takes their digest.
class DigestSink final : public Sink {
  public:
    explicit DigestSink(Sink* next) : next_(next) {}
    void write(std::string_view bytes) override;
    [[nodiscard]] const Digest& digest() const noexcept { return digest_; }

  private:
    Sink* next_;
    Digest digest_;
};

}  // namespace durograde
