#include "region/bead_log.hpp"

#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cmath>
#include <cstring>

#include "text/diagnostic.hpp"

namespace durograde::region {
namespace {

constexpr std::size_t batch_beads = 16'384;
constexpr double chord_mm = 0.3;  // leaves a circle of 2 mm radius by 6 µm
const char* const name = "temporary file";

std::int32_t units(double mm) {
    constexpr double most = 2e9;  // farther than any bed reaches
    return static_cast<std::int32_t>(
        std::clamp(std::round(mm / BeadLog::mm_per_unit), -most, most));
}

}  // namespace

BeadLog::BeadLog() : file_(nameless_file(temporary_folder())) {
    kept_.reserve(batch_beads);
}

void BeadLog::begin_layer(double z_mm) {
    layers_.push_back({z_mm, 0.0, count_, 0});
}

void BeadLog::add(const geometry::Point& from, const geometry::Point& to, double volume_mm3) {
    Layer& layer = layers_.back();
    layer.rise_mm =
        std::max({layer.rise_mm, std::abs(from.z - layer.z_mm), std::abs(to.z - layer.z_mm)});
    ++layer.beads;
    ++count_;
    kept_.push_back(
        {units(from.x), units(from.y), units(to.x), units(to.y), static_cast<float>(volume_mm3)});
    if (kept_.size() >= batch_beads) flush();
}

void BeadLog::add(const geometry::Point& from, const geometry::Point& to, const geometry::Arc& arc,
                  double volume_mm3) {
    const int chords = static_cast<int>(arc.length_mm() / chord_mm) + 1;
    for (int i = 0; i < chords; ++i) {
        add(along(arc, from, to, 1.0 * i / chords), along(arc, from, to, (i + 1.0) / chords),
            volume_mm3 / chords);
    }
}

void BeadLog::flush() {
    const auto* bytes = reinterpret_cast<const char*>(kept_.data());
    write_all(file_.fd(), {bytes, kept_.size() * sizeof(Bead)}, name);
    kept_.clear();
}

void BeadLog::read(const Layer& layer, std::vector<Bead>& beads) const {
    beads.resize(layer.beads);
    auto* bytes = reinterpret_cast<char*>(beads.data());
    std::size_t left = layer.beads * sizeof(Bead);
    auto offset = static_cast<off_t>(layer.first * sizeof(Bead));
    while (left > 0) {
        const ssize_t count = ::pread(file_.fd(), bytes, left, offset);
        if (count < 0 && errno == EINTR) continue;
        if (count <= 0) {
            throw Failure(Exit::io_error,
                          Diagnostic{.code = "read-failed",
                                     .text = std::string("reading failed: ") +
                                             (count < 0 ? std::strerror(errno) : "it was cut off"),
                                     .mend = "check the disk, then run again",
                                     .place = {name, 0, 0}});
        }
        bytes += count;
        offset += count;
        left -= static_cast<std::size_t>(count);
    }
}

}  // namespace durograde::region
