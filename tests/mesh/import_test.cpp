#include "mesh/import.hpp"

#include <sys/mman.h>
#include <unistd.h>

#include <algorithm>
#include <catch2/catch.hpp>

#include "files.hpp"
#include "mesh/apart.hpp"

/// Files of meshes, well-formed and not. Formats: STL as in common practice (80 bytes of header,
/// count, 50 bytes a triangle; from memory), OBJ and PLY likewise, 3MF Core Specification 1.3.
namespace durograde {
namespace {

using mesh_test::Soup;

std::variant<mesh::Triangles, mesh::NotImported> import(const std::string& bytes,
                                                        const std::string& name) {
    return mesh::import(bytes, name);
}

std::vector<mesh::Point> sorted(std::vector<mesh::Point> points) {
    std::sort(points.begin(), points.end());
    return points;
}

/// A box that no turn and no mirror brings onto itself, in numbers that single precision holds.
const Soup lopsided = mesh_test::box({1, -2.5, 0.25}, {3, 4.5, 7});

void check_same(const std::string& bytes, const std::string& name) {
    INFO(name);
    const auto imported = import(bytes, name);
    if (const auto* fault = std::get_if<mesh::NotImported>(&imported)) FAIL(fault->text);
    const auto& triangles = std::get<mesh::Triangles>(imported);
    CHECK(sorted(triangles.points) == sorted(mesh::weld(lopsided).points));
    CHECK(triangles.corners.size() == 12);
    CHECK(mesh::open_edges(triangles).count == 0);
    CHECK(mesh::volume_mm3(triangles) == Approx(3 * 4.5 * 7));
}

void check_refused(const std::string& bytes, const std::string& name) {
    INFO(name << ", " << bytes.size() << " bytes: " << bytes.substr(0, 40));
    const auto imported = import(bytes, name);
    REQUIRE(std::holds_alternative<mesh::NotImported>(imported));
    CHECK_FALSE(std::get<mesh::NotImported>(imported).text.empty());
    CHECK_FALSE(std::get<mesh::NotImported>(imported).mend.empty());
}

}  // namespace

TEST_CASE("each format gives the same triangles", "[mesh]") {
    check_same(mesh_test::stl_binary(lopsided), "tongue.stl");
    check_same(mesh_test::stl_text(lopsided), "tongue.stl");
    check_same(mesh_test::stl_binary(lopsided), "TONGUE.STL");
    check_same(mesh_test::obj(lopsided), "tongue.obj");
    check_same(mesh_test::ply(lopsided), "tongue.ply");
    check_same(mesh_test::three_mf(lopsided), "some.tongue.3mf");
}

TEST_CASE("polygons become triangles", "[mesh]") {
    const std::string quads =
        "v 0 0 0\nv 1 0 0\nv 1 1 0\nv 0 1 0\nv 0 0 1\nv 1 0 1\nv 1 1 1\nv 0 1 1\n"
        "f 4 3 2 1\nf 5 6 7 8\nf 1 2 6 5\nf 2 3 7 6\nf 3 4 8 7\nf 4 1 5 8\n";
    const auto triangles = std::get<mesh::Triangles>(import(quads, "cube.obj"));
    CHECK(triangles.corners.size() == 12);
    CHECK(mesh::volume_mm3(triangles) == Approx(1));
    CHECK(mesh::open_edges(triangles).count == 0);
}

TEST_CASE("what holds no triangles is refused", "[mesh]") {
    check_refused("", "tongue.stl");
    check_refused("G1 X10 Y10 E1\n", "tongue.stl");
    check_refused("v 0 0 0\nv 1 0 0\nl 1 2\n", "tongue.obj");
    check_refused("solid nothing\nendsolid nothing\n", "tongue.stl");
    check_refused(mesh_test::stl_binary(lopsided), "tongue.step");
    check_refused(mesh_test::stl_binary(lopsided), "tongue");
    check_refused(mesh_test::obj(lopsided), "tongue.3mf");
    check_refused(mesh_test::ply(lopsided), "tongue.stl");
    check_refused("PK\x03\x04", "tongue.3mf");
    Soup broken = lopsided;
    broken[4][1] = std::nan("");
    check_refused(mesh_test::stl_binary(broken), "tongue.stl");
}

TEST_CASE("a file that was cut or damaged is refused or gives what it holds", "[mesh]") {
    const auto file = GENERATE(values<std::pair<std::string, std::string>>(
        {{mesh_test::stl_binary(lopsided), "binary.stl"},
         {mesh_test::stl_text(lopsided), "text.stl"},
         {mesh_test::obj(lopsided), "tongue.obj"},
         {mesh_test::ply(lopsided), "tongue.ply"},
         {mesh_test::three_mf(lopsided), "tongue.3mf"}}));
    const std::string &bytes = file.first, &name = file.second;
    INFO(name);
    sheets::Random random(23);
    const auto any_byte = [&] {
        return static_cast<std::size_t>(random.between(0, static_cast<int>(bytes.size()) - 1));
    };
    std::size_t refused = 0;
    for (int i = 0; i < 40; ++i) {
        std::string damaged = bytes.substr(0, random.chance(50) ? any_byte() : bytes.size());
        for (int j = random.between(0, 3); j > 0 && !damaged.empty(); --j)
            damaged[any_byte() % damaged.size()] = bytes[any_byte()];
        const auto imported = import(damaged, name);
        const auto* triangles = std::get_if<mesh::Triangles>(&imported);
        refused += triangles == nullptr ? 1 : 0;
        if (triangles != nullptr) CHECK(triangles->corners.size() <= 12);
    }
    CHECK(refused > 0);
}

TEST_CASE("a reader that dies or throws takes nothing with it", "[mesh]") {
    const auto fault = [](const std::function<mesh::Soup()>& read) {
        return std::get<std::string>(mesh::read_apart(read, {5}));
    };
    CHECK(fault([]() -> mesh::Soup { std::abort(); }) == "is broken");
    CHECK(std::get<std::string>(mesh::read_apart(
              []() -> mesh::Soup {
                  for (;;) ::pause();
              },
              {1})) == "takes longer than 1 s to read");
    CHECK(fault([]() -> mesh::Soup { throw std::bad_alloc(); }) ==
          "takes more than 1024 MiB to read");
    // Beside what the process has: addresses, which every allocator asks the system for.
    const auto map_mib = [](std::size_t mib) {
        return [mib]() -> mesh::Soup {
            void* const got =
                ::mmap(nullptr, mib << 20U, PROT_NONE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
            if (got == MAP_FAILED) throw std::bad_alloc();
            return "has room";
        };
    };
    constexpr mesh::Allowance some{5, std::size_t{64} << 20U};
    CHECK(std::get<std::string>(mesh::read_apart(map_mib(32), some)) == "has room");
    CHECK(std::get<std::string>(mesh::read_apart(map_mib(96), some)) ==
          "takes more than 64 MiB to read");
    CHECK(fault([]() -> mesh::Soup { return "holds nothing"; }) == "holds nothing");
    const std::vector<mesh::Point> many(100000, mesh::Point{1, 2, 3});
    CHECK(std::get<std::vector<mesh::Point>>(mesh::read_apart([&] { return many; }, {5})) == many);
}

}  // namespace durograde
