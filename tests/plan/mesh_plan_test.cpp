#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>

#include "../mesh/files.hpp"
#include "plan/load.hpp"
#include "region/fields.hpp"
#include "region/shapes.hpp"
#include "sample_plan.hpp"

/// Shapes from files of meshes.
namespace durograde {
namespace {

namespace fs = std::filesystem;
using mesh_test::box;
using mesh_test::stl_binary;
using plan_test::small_plan;

/// A folder of its own, gone at the end.
class Folder {
  public:
    Folder() {
        std::string name = (fs::temp_directory_path() / "meshes-XXXXXX").string();
        path_ = ::mkdtemp(name.data());
    }
    ~Folder() { fs::remove_all(path_); }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;

    [[nodiscard]] std::string put(const std::string& name, const std::string& bytes) const {
        fs::create_directories((path_ / name).parent_path());
        std::ofstream(path_ / name, std::ios::binary) << bytes;
        return (path_ / name).string();
    }
    [[nodiscard]] const fs::path& path() const { return path_; }

  private:
    fs::path path_;
};

std::string with_mesh(const std::string& mesh) {
    return small_plan() + "[[shape]]\nname = \"core\"\nmesh = { " + mesh + " }\n";
}

plan::Plan load(const Folder& folder, const std::string& mesh) {
    return plan::load(folder.put("plan.toml", with_mesh(mesh)), {});
}

Diagnostic fault_of(const Folder& folder, const std::string& mesh) {
    try {
        static_cast<void>(load(folder, mesh));
    } catch (const Failure& failure) {
        CHECK(failure.exit() == Exit::bad_plan);
        return failure.diagnostics().front();
    }
    FAIL("loaded: " << mesh);
    return {};
}

}  // namespace

TEST_CASE("a mesh is scaled, turned about x, y and z, and moved", "[plan][mesh]") {
    const Folder folder;
    static_cast<void>(folder.put("parts/core.stl", stl_binary(box({0, 0, 0}, {1, 2, 3}))));
    const plan::Plan plan = load(folder,
                                 "file = \"parts/core.stl\", scale = 2, turn = [90, 0, 90], "
                                 "move = [10, 20, 30]");
    // Scaled to 2 × 4 × 6; about x, (y, z) becomes (−z, y): 2 × −6 × 4; about z, (x, y) becomes
    // (−y, x): 6 × 2 × 4 from the origin on.
    const plan::Box form{{13, 21, 32}, {6, 2, 4}, 0};
    const region::Field field(plan.shapes.back());
    sheets::Random random(2);
    for (int i = 0; i < 300; ++i) {
        const plan::Vec3 point = mesh_test::random_point(random, 40);
        CHECK(field.exact_mm(point) == Approx(region::distance(form, point)).margin(1e-5));
    }
    CHECK(plan.warnings.empty());
}

TEST_CASE("turns about three axes are the product of their matrices", "[plan][mesh]") {
    // Rotation matrices about coordinate axes, any book of linear algebra: here by their columns.
    const Folder folder;
    static_cast<void>(folder.put("core.stl", stl_binary(box({0, 0, 0}, {1, 2, 3}))));
    const auto plan = load(folder, "file = \"core.stl\", turn = [30, 45, 60]");
    const double cx = std::sqrt(3.0) / 2, sx = 0.5, cy = std::sqrt(0.5), sy = cy, cz = 0.5, sz = cx;
    const auto turned = [&](const plan::Vec3& p) {
        const plan::Vec3 a = {p[0], p[1] * cx - p[2] * sx, p[1] * sx + p[2] * cx};
        const plan::Vec3 b = {a[0] * cy + a[2] * sy, a[1], -a[0] * sy + a[2] * cy};
        return plan::Vec3{b[0] * cz - b[1] * sz, b[0] * sz + b[1] * cz, b[2]};
    };
    const auto& points = std::get<plan::Mesh>(plan.shapes.back().form).triangles->points;
    for (const plan::Vec3& corner : mesh::weld(box({0, 0, 0}, {1, 2, 3})).points) {
        const plan::Vec3 wanted = turned(corner);
        CHECK(std::any_of(points.begin(), points.end(), [&](const plan::Vec3& point) {
            return std::hypot(point[0] - wanted[0], point[1] - wanted[1], point[2] - wanted[2]) <
                   1e-9;
        }));
    }
}

TEST_CASE("what a mesh file lacks is told at its name", "[plan][mesh]") {
    const Folder folder;
    static_cast<void>(folder.put("rubbish.stl", "G1 X10 Y10 E1\n"));
    static_cast<void>(folder.put("core.stl", stl_binary(box({0, 0, 0}, {1, 2, 3}))));
    static_cast<void>(folder.put("core.step", "ISO-10303-21;\n"));
    const auto code = [&](const std::string& mesh) { return fault_of(folder, mesh).code; };
    CHECK(code("file = \"none.stl\"") == "mesh-unread");
    CHECK(code("file = \"rubbish.stl\"") == "mesh-unread");
    CHECK(code("file = \"core.step\"") == "mesh-unread");
    CHECK(code("file = \".\"") == "mesh-unread");
    CHECK(code("file = \"/dev/zero\"") == "mesh-outside");
    CHECK(code("file = \"../core.stl\"") == "mesh-outside");
    CHECK(code("file = \"\"") == "mesh-outside");
    CHECK(code("scale = 2") == "missing-key");
    CHECK(code("file = \"core.stl\", scale = 0") == "out-of-range");
    CHECK(code("file = \"core.stl\", scale = 1000, move = [9000, 9000, 9000]") == "out-of-range");
    CHECK(code("file = \"core.stl\", turn = [1, 2]") == "wrong-count");
    CHECK(code("file = \"core.stl\", mirror = true") == "unknown-key");
    const Diagnostic found = fault_of(folder, "file = \"none.stl\"");
    CHECK(found.place.file == (folder.path() / "plan.toml").string());
    CHECK(found.place.line > 0);
    CHECK(found.text.find("none.stl") != std::string::npos);
}

TEST_CASE("a surface that is open or inside out is told and used", "[plan][mesh]") {
    const Folder folder;
    mesh_test::Soup open = box({0, 0, 0}, {1, 2, 3});
    open.resize(open.size() - 3);
    static_cast<void>(folder.put("open.stl", stl_binary(open)));
    mesh_test::Soup turned = box({0, 0, 0}, {1, 2, 3});
    for (std::size_t i = 0; i < turned.size(); i += 3) std::swap(turned[i], turned[i + 1]);
    static_cast<void>(folder.put("turned.stl", stl_binary(turned)));
    const plan::Plan first = load(folder, "file = \"open.stl\"");
    REQUIRE(first.warnings.size() == 1);
    CHECK(first.warnings.front().code == "mesh-open");
    CHECK(first.warnings.front().text.find("3 edges") != std::string::npos);
    const plan::Plan second = load(folder, "file = \"turned.stl\"");
    REQUIRE(second.warnings.size() == 1);
    CHECK(second.warnings.front().code == "mesh-inside-out");
    CHECK(region::Field(second.shapes.back()).exact_mm({0.5, 1, 1.5}) == Approx(-0.5));
}

TEST_CASE("another mesh under the same name is another plan", "[plan][mesh]") {
    const Folder folder;
    static_cast<void>(folder.put("core.stl", stl_binary(box({0, 0, 0}, {1, 2, 3}))));
    const std::string before = load(folder, "file = \"core.stl\"").fingerprint;
    CHECK(load(folder, "file = \"core.stl\"").fingerprint == before);
    static_cast<void>(folder.put("core.stl", stl_binary(box({0, 0, 0}, {1, 2, 3.5}))));
    CHECK(load(folder, "file = \"core.stl\"").fingerprint != before);
}

TEST_CASE("a mesh is found beside the file that names it", "[plan][mesh]") {
    const Folder folder;
    static_cast<void>(folder.put("cores/core.stl", stl_binary(box({0, 0, 0}, {1, 2, 3}))));
    static_cast<void>(folder.put("cores/core.toml",
                                 "[[shape]]\nname = \"core\"\nmesh = { file = \"core.stl\" }\n"));
    const std::string file =
        folder.put("plan.toml", "include = [\"cores/core.toml\"]\n" + small_plan());
    CHECK(plan::load(file, {}).shapes.back().name == "core");
}

TEST_CASE("a mesh whose triangles reach across each other is refused", "[plan][mesh]") {
    const Folder folder;
    mesh_test::Soup slivers;
    for (int i = 0; i < 20000; ++i) {
        const double z = i * 1e-3;
        slivers.insert(slivers.end(), {{-5, -5, z}, {5, 5, z}, {5, 5.01, z + 1e-3}});
    }
    static_cast<void>(folder.put("slivers.stl", stl_binary(slivers)));
    const Diagnostic fault = fault_of(folder, "file = \"slivers.stl\"");
    CHECK(fault.code == "mesh-unread");
    CHECK(fault.text.find("reach across each other") != std::string::npos);
}

}  // namespace durograde
