#pragma once

#include <cstdint>
#include <vector>

#include "geometry/path.hpp"
#include "text/file.hpp"

namespace durograde::region {

/// All beads of a program, layer by layer, in a nameless file of 20 bytes a bead: what must be
/// looked at again once the whole program is known, and is not read from the program's text twice.
class BeadLog {
  public:
    /// A straight bead, by its centre line. Places are told in 0.1 µm, so that whoever reads the
    /// same program keeps the same.
    struct Bead {
        std::int32_t from_x = 0, from_y = 0, to_x = 0, to_y = 0;
        float volume_mm3 = 0.0F;
    };
    static constexpr double mm_per_unit = 1e-4;

    struct Layer {
        double z_mm = 0.0;
        double rise_mm = 0.0;                ///< the most that a bead departs from that height
        std::uint64_t first = 0, beads = 0;  ///< in the file, from which on and how many
    };

    /// Throws Failure (Exit::cannot_create).
    BeadLog();

    /// The layers come in the order of printing; height may fall where parts are printed one after
    /// another.
    void begin_layer(double z_mm);
    void add(const geometry::Point& from, const geometry::Point& to, double volume_mm3);
    /// An arc is kept as chords.
    void add(const geometry::Point& from, const geometry::Point& to, const geometry::Arc& arc,
             double volume_mm3);
    /// Call once, after the last bead. Throws Failure (Exit::io_error).
    void finish() { flush(); }

    [[nodiscard]] const std::vector<Layer>& layers() const noexcept { return layers_; }
    /// Fills `beads` with those of a layer. Throws Failure (Exit::io_error).
    void read(const Layer& layer, std::vector<Bead>& beads) const;

  private:
    void flush();

    File file_;
    std::vector<Bead> kept_;  ///< not yet in the file
    std::vector<Layer> layers_;
    std::uint64_t count_ = 0;
};

}  // namespace durograde::region
