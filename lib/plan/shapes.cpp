#include <algorithm>
#include <map>
#include <string>
#include <string_view>
#include <utility>

#include "plan/mesh.hpp"
#include "plan/sections.hpp"

namespace durograde::plan {
namespace {

constexpr Bounds coordinate_mm{-10000.0, 10000.0};
constexpr Bounds radius_mm{0.0, 10000.0, false};
constexpr Bounds length_mm{0.0, 10000.0};

Vec3 read_point(TableReader& form, std::string_view key) {
    const std::vector<double> v =
        form.needed_numbers(key, 3, coordinate_mm, std::string(key) + " = [0, 0, 0], in mm");
    return v.empty() ? Vec3{} : Vec3{v[0], v[1], v[2]};
}

double read_radius(TableReader& form) {
    return form.needed_number("radius", radius_mm, "radius = 3.0, in mm");
}

/// A form with an axis needs two different ends.
void check_ends(TableReader& form, const Vec3& from, const Vec3& to) {
    const bool given =
        find_entry(form.table(), "from") != nullptr && find_entry(form.table(), "to") != nullptr;
    if (!given || from != to) return;
    form.findings().error("out-of-range", form.find("to")->spot,
                          "`from` and `to` of " + form.name() + " are the same point",
                          "give the two ends of the axis");
}

Sphere read_sphere(TableReader& form) {
    return {read_point(form, "center"), read_radius(form)};
}

Box read_box(TableReader& form) {
    Box box{read_point(form, "center"), {}, form.number("round", 0.0, length_mm)};
    const std::vector<double> size =
        form.needed_numbers("size", 3, radius_mm, "size = [10, 10, 12], in mm");
    if (size.empty()) return box;
    box.size = {size[0], size[1], size[2]};
    const double most = *std::min_element(size.begin(), size.end()) / 2;
    if (box.round > most)
        form.findings().error("out-of-range", form.find("round")->spot,
                              form.label("round") + " is " + shown(box.round) +
                                  " mm, more than half of the shortest side",
                              "write at most " + shown(most));
    return box;
}

Capsule read_capsule(TableReader& form) {
    return {read_point(form, "from"), read_point(form, "to"), read_radius(form)};
}

Cylinder read_cylinder(TableReader& form) {
    const Cylinder cylinder{read_point(form, "from"), read_point(form, "to"), read_radius(form)};
    check_ends(form, cylinder.from, cylinder.to);
    return cylinder;
}

Cone read_cone(TableReader& form) {
    Cone cone{read_point(form, "from"), read_point(form, "to"), {}};
    check_ends(form, cone.from, cone.to);
    const std::vector<double> radius =
        form.needed_numbers("radius", 2, length_mm, "radius = [4, 2], in mm at `from` and `to`");
    if (radius.empty()) return cone;
    cone.radius = {radius[0], radius[1]};
    if (radius[0] == 0.0 && radius[1] == 0.0)
        form.findings().error("out-of-range", form.find("radius")->spot,
                              form.label("radius") + " is 0 at both ends",
                              "give at least one end a radius above 0");
    return cone;
}

Plane read_plane(TableReader& form) {
    const Plane plane{read_point(form, "point"), read_point(form, "normal")};
    const Value* const normal = form.find("normal");
    if (normal != nullptr && normal->items.size() == 3 && plane.normal == Vec3{})
        form.findings().error("out-of-range", normal->spot,
                              form.label("normal") + " has no direction",
                              "point it away from the inside: normal = [0, 0, 1]");
    return plane;
}

using Form = decltype(Shape::form);

struct NamedForm {
    std::string_view key;
    Form (*read)(TableReader&);
};

const std::vector<NamedForm>& forms() {
    static const std::vector<NamedForm> all = {
        {"sphere", [](TableReader& form) -> Form { return read_sphere(form); }},
        {"box", [](TableReader& form) -> Form { return read_box(form); }},
        {"capsule", [](TableReader& form) -> Form { return read_capsule(form); }},
        {"cylinder", [](TableReader& form) -> Form { return read_cylinder(form); }},
        {"cone", [](TableReader& form) -> Form { return read_cone(form); }},
        {"plane", [](TableReader& form) -> Form { return read_plane(form); }},
        {"mesh", [](TableReader& form) -> Form { return read_mesh(form); }}};
    return all;
}

/// Reads the forms that the table holds; exactly one is right.
Form read_form(TableReader& shape) {
    Form read;
    std::string present;
    const Value* second = nullptr;
    for (const NamedForm& form : forms()) {
        auto table = shape.inner(form.key, std::string(form.key) + " in [[shape]]");
        if (!table) continue;
        read = form.read(*table);
        table->finish();
        if (!present.empty()) second = &table->table();
        present += (present.empty() ? "`" : " and `") + std::string(form.key) + "`";
    }
    if (second != nullptr)
        shape.findings().error("conflict", second->spot, "this [[shape]] has " + present,
                               "give each form a [[shape]] of its own");
    const bool any_given = std::any_of(forms().begin(), forms().end(), [&](const NamedForm& form) {
        return find_entry(shape.table(), form.key) != nullptr;
    });
    if (!any_given)
        shape.findings().error(
            "missing-key", shape.table().spot, "this [[shape]] has no form",
            "add one of sphere, box, capsule, cylinder, cone, plane or mesh, such as "
            "capsule = { from = [0, 0, 0], to = [0, 0, 12], radius = 3.0 }");
    return read;
}

/// A condition must be able to name the shape: letters, digits, underscores, no digit first.
void check_name(TableReader& table, const std::string& name) {
    const Value* const value = table.find("name");
    if (value == nullptr || value->kind != Kind::text) return;
    const auto is_letter = [](char byte) {
        return (byte >= 'a' && byte <= 'z') || (byte >= 'A' && byte <= 'Z') || byte == '_';
    };
    const auto fits = [&](char byte) { return is_letter(byte) || (byte >= '0' && byte <= '9'); };
    if (!name.empty() && is_letter(name.front()) && std::all_of(name.begin(), name.end(), fits))
        return;
    table.findings().error("bad-name", value->spot,
                           "`" + name.substr(0, 40) + "` cannot stand in a condition",
                           "use letters, digits and underscores, and no digit first: \"tongue\"");
}

Shape read_shape(TableReader& table) {
    Shape shape;
    table.need("name", "name = \"tongue\"");
    shape.name = table.text("name", "");
    check_name(table, shape.name);
    shape.form = read_form(table);
    table.finish();
    return shape;
}

}  // namespace

std::vector<Shape> read_shapes(TableReader& plan) {
    std::vector<Shape> shapes;
    std::map<std::string, Spot> first;
    for (TableReader& table : plan.list("shape", "[[shape]]", 256)) {
        shapes.push_back(read_shape(table));
        if (shapes.back().name.empty()) continue;
        const Spot spot = table.find("name")->spot;
        const auto [same, is_new] = first.try_emplace(shapes.back().name, spot);
        if (!is_new)
            table.findings().error("duplicate", spot,
                                   "a shape `" + same->first.substr(0, 40) + "` is defined at " +
                                       table.findings().reference(same->second) + " already",
                                   "give each shape a name of its own");
    }
    return shapes;
}

}  // namespace durograde::plan
