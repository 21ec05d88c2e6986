#pragma once

#include <optional>
#include <string>
#include <vector>

#include "region/bead_log.hpp"
#include "region/footprint.hpp"
#include "region/slice.hpp"

namespace durograde::region {

/// What each part of a sheet is made of, layer by layer, looked at once more when the parts are
/// known. Beads of no part, such as brim, are left out.
class PartLayers {
  public:
    /// `log` and `footprint` (with its parts named from 0) must outlive this. Parts that are not
    /// `wanted` have no layers. Cells are `cell_mm` wide.
    PartLayers(const BeadLog& log, const Footprint& footprint, std::vector<bool> wanted,
               double cell_mm);

    struct Layer {
        std::size_t run = 0;                   ///< of the log's layers
        double bottom_mm = 0.0, top_mm = 0.0;  ///< above the bed

        [[nodiscard]] double middle_mm() const noexcept { return (bottom_mm + top_mm) / 2; }
    };
    struct Part {
        Grid grid;
        std::vector<Layer> layers;  ///< from the bed up
    };
    [[nodiscard]] const std::vector<Part>& parts() const noexcept { return parts_; }
    [[nodiscard]] std::size_t runs() const noexcept { return log_.layers().size(); }
    [[nodiscard]] double run_z_mm(std::size_t run) const { return log_.layers()[run].z_mm; }

    /// Why some part has no layers one above the other: a height that falls or rises within it.
    [[nodiscard]] const std::optional<std::string>& fault() const noexcept { return fault_; }

    /// Paints the beads of one run of the log. Calls `take(part, slice)` for each part that has
    /// some; the slice stands until the next call. Without edges, nothing can be measured.
    template <typename Take>
    void for_slices(std::size_t run, bool with_edges, Take take) {
        paint(run, with_edges);
        for (std::size_t part = 0; part < parts_.size(); ++part) {
            if (is_painted_[part]) take(part, slices_[part]);
        }
    }

  private:
    void find_layers();
    void add_layer(std::size_t part, std::size_t run);
    [[nodiscard]] double bottom_of_first(std::size_t run) const;
    void paint(std::size_t run, bool with_edges);
    [[nodiscard]] int part_of(const BeadLog::Bead& bead) const;

    const BeadLog& log_;
    const Footprint& footprint_;
    std::vector<bool> wanted_;
    std::vector<Part> parts_;
    std::vector<Slice> slices_;
    std::vector<bool> is_painted_;
    std::vector<std::size_t> next_;  ///< of each part's layers, the one that comes next
    std::vector<BeadLog::Bead> beads_;
    std::optional<std::string> fault_;
};

}  // namespace durograde::region
