#pragma once

#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "mesh/distance.hpp"
#include "plan/plan.hpp"

namespace durograde::region {

/// A shape ready to be asked for distances.
class Field {
  public:
    /// `shape` must outlive the field.
    explicit Field(const plan::Shape& shape);

    [[nodiscard]] const plan::Shape& shape() const noexcept { return *shape_; }
    /// Signed distance in mm, negative inside. 1 is a Lipschitz bound.
    [[nodiscard]] double exact_mm(const plan::Vec3& point) const;
    /// No more than `off_mm` from the exact one, and faster where that is not 0.
    [[nodiscard]] double rough_mm(const plan::Vec3& point) const;
    [[nodiscard]] double off_mm() const noexcept { return mesh_ ? mesh_->off_mm() : 0.0; }

  private:
    const plan::Shape* shape_;
    std::optional<mesh::Distance> mesh_;
};

/// The fields of all shapes of a plan.
class Fields {
  public:
    explicit Fields(std::span<const plan::Shape> shapes);
    /// The field of the shape of this name, which exists.
    [[nodiscard]] const Field& find(std::string_view name) const;

  private:
    std::vector<Field> fields_;
};

}  // namespace durograde::region
