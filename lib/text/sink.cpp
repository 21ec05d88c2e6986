#include "text/sink.hpp"

#include <algorithm>

namespace durograde {

void CountingSink::write(std::string_view bytes) {
    if (bytes.empty()) return;
    bytes_ += bytes.size();
    lines_ += static_cast<std::uint64_t>(std::count(bytes.begin(), bytes.end(), '\n'));
    open_line_ = bytes.back() != '\n';
    if (next_ != nullptr) next_->write(bytes);
}

}  // namespace durograde
