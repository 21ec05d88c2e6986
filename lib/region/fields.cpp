#include "region/fields.hpp"

#include <algorithm>
#include <type_traits>

#include "region/shapes.hpp"

namespace durograde::region {

Field::Field(const plan::Shape& shape) : shape_(&shape) {
    if (const auto* mesh = std::get_if<plan::Mesh>(&shape.form)) mesh_.emplace(mesh->triangles);
}

double Field::exact_mm(const plan::Vec3& point) const {
    return std::visit(
        [&](const auto& form) {
            if constexpr (std::is_same_v<std::decay_t<decltype(form)>, plan::Mesh>) {
                return mesh_->exact_mm(point);
            } else {
                return distance(form, point);
            }
        },
        shape_->form);
}

double Field::rough_mm(const plan::Vec3& point) const {
    return mesh_ ? mesh_->rough_mm(point) : exact_mm(point);
}

Fields::Fields(std::span<const plan::Shape> shapes) {
    fields_.reserve(shapes.size());
    for (const plan::Shape& shape : shapes) fields_.emplace_back(shape);
}

const Field& Fields::find(std::string_view name) const {
    return *std::find_if(fields_.begin(), fields_.end(),
                         [&](const Field& field) { return field.shape().name == name; });
}

}  // namespace durograde::region
