#include "plan/mesh.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "mesh/effort.hpp"
#include "mesh/import.hpp"
#include "plan/locate.hpp"
#include "plan/read_file.hpp"
#include "text/digest.hpp"

namespace durograde::plan {
namespace {

constexpr Bounds factor{0.0, 1000.0, false};
constexpr Bounds shift_mm{-10000.0, 10000.0};
constexpr Bounds turn_deg{-360.0, 360.0};
constexpr double farthest_mm = 10000.0;

/// From the file's coordinates to the part's: scaled, turned about x, y and z in this order, moved.
class Frame {
  public:
    explicit Frame(TableReader& form) : scale_(form.number("scale", 1.0, factor)) {
        const std::vector<double> turn = form.numbers("turn", 3, turn_deg);
        const std::vector<double> move = form.numbers("move", 3, shift_mm);
        if (!turn.empty()) std::copy(turn.begin(), turn.end(), turn_deg_.begin());
        if (!move.empty()) std::copy(move.begin(), move.end(), move_mm_.begin());
    }

    [[nodiscard]] Vec3 place(const Vec3& point) const {
        Vec3 at = {scale_ * point[0], scale_ * point[1], scale_ * point[2]};
        for (std::size_t axis = 0; axis < 3; ++axis) {
            const double turn_rad = turn_deg_[axis] * std::numbers::pi / 180.0;
            double& first = at[(axis + 1) % 3];
            double& second = at[(axis + 2) % 3];
            const double turned = first * std::cos(turn_rad) - second * std::sin(turn_rad);
            second = first * std::sin(turn_rad) + second * std::cos(turn_rad);
            first = turned;
        }
        return {at[0] + move_mm_[0], at[1] + move_mm_[1], at[2] + move_mm_[2]};
    }

  private:
    double scale_;
    Vec3 turn_deg_{}, move_mm_{};
};

bool is_near(const Vec3& point) {
    return std::all_of(point.begin(), point.end(),
                       [](double mm) { return std::abs(mm) <= farthest_mm; });
}

/// The bytes of the file that `name` means, if it may be read and can be.
std::optional<std::string> bytes_of(const Value& name, Findings& findings) {
    const auto file =
        locate(name.text, findings.file(name.spot), folder_of_plan(findings.first_file()));
    if (const auto* fault = std::get_if<NotLocated>(&file)) {
        findings.error("mesh-outside", name.spot, fault->text, fault->mend);
        return std::nullopt;
    }
    const std::string path = std::get<Located>(file).resolved.string();
    findings.note_read(path);
    auto bytes = read_mesh_file(path);
    if (const auto* unread = std::get_if<Unread>(&bytes)) {
        findings.error("mesh-unread", name.spot, quoted(name.text) + " " + unread->text,
                       unread->mend);
        return std::nullopt;
    }
    return std::get<std::string>(std::move(bytes));
}

/// Tells how open the surface is, and turns it right side out.
void judge(mesh::Triangles& triangles, const Value& name, Findings& findings) {
    const mesh::OpenEdges open = mesh::open_edges(triangles);
    if (open.count > 0)
        findings.warning(
            "mesh-open", name.spot,
            quoted(name.text) + " is not closed: " + std::to_string(open.count) + " edges, " +
                shown(std::round(10 * open.length_mm) / 10) + " mm in all, bound one triangle only",
            "what is inside is uncertain near its holes, nearer than they are wide; close "
            "them where that matters");
    if (mesh::volume_mm3(triangles) >= 0.0) return;
    mesh::turn_inside_out(triangles);
    findings.warning("mesh-inside-out", name.spot,
                     quoted(name.text) + " faces inwards, and was turned inside out",
                     "export it with its normals outwards");
}

}  // namespace

Mesh read_mesh(TableReader& form) {
    Mesh mesh;
    const Frame frame(form);
    const Value* const name = form.need("file", "file = \"tongue.stl\"");
    mesh.file = form.text("file", "");
    if (name == nullptr || name->kind != Kind::text) return mesh;
    Findings& findings = form.findings();
    const std::optional<std::string> bytes = bytes_of(*name, findings);
    if (!bytes) return mesh;
    Digest digest;
    digest.add(*bytes);
    mesh.digest = digest.hex();
    auto imported = mesh::import(*bytes, name->text);
    if (const auto* fault = std::get_if<mesh::NotImported>(&imported)) {
        findings.error("mesh-unread", name->spot, quoted(name->text) + " " + fault->text,
                       fault->mend);
        return mesh;
    }
    auto triangles = std::get<mesh::Triangles>(std::move(imported));
    for (Vec3& point : triangles.points) point = frame.place(point);
    if (!std::all_of(triangles.points.begin(), triangles.points.end(), is_near)) {
        findings.error("out-of-range", name->spot,
                       quoted(name->text) + " reaches more than " + shown(farthest_mm) +
                           " mm from the part's origin",
                       "check its unit, `scale` and `move`: plans are in mm");
        return mesh;
    }
    if (const std::size_t looks = mesh::mean_looks(triangles); looks > mesh::most_looks) {
        findings.error("mesh-unread", name->spot,
                       quoted(name->text) +
                           " has triangles that reach across each other: a distance "
                           "takes " +
                           std::to_string(looks) + " looks at its " +
                           std::to_string(triangles.corners.size()),
                       "mesh it anew, with triangles of even edges and each once");
        return mesh;
    }
    judge(triangles, *name, findings);
    mesh.triangles = std::make_shared<const mesh::Triangles>(std::move(triangles));
    return mesh;
}

}  // namespace durograde::plan
