#include "mesh/import.hpp"

#include <assimp/postprocess.h>
#include <assimp/scene.h>

#include <algorithm>
#include <array>
#include <assimp/IOSystem.hpp>
#include <assimp/Importer.hpp>
#include <cctype>
#include <cmath>
#include <utility>
#include <vector>

#include "mesh/apart.hpp"
#include "mesh/stl.hpp"

namespace durograde::mesh {
namespace {

/// Gives no file: what a mesh refers to (materials, images) is not looked at.
class NoFiles : public Assimp::IOSystem {
  public:
    [[nodiscard]] bool Exists(const char* /*name*/) const override { return false; }
    [[nodiscard]] char getOsSeparator() const override { return '/'; }
    Assimp::IOStream* Open(const char* /*name*/, const char* /*mode*/) override { return nullptr; }
    void Close(Assimp::IOStream* /*file*/) override {}
};

/// How the name ends, in lower case and without the dot, if it is one that is read.
std::string kind_of(const std::string& name) {
    constexpr std::array<std::string_view, 4> kinds = {"stl", "obj", "ply", "3mf"};
    const std::size_t dot = name.rfind('.');
    if (dot == std::string::npos) return {};
    std::string kind = name.substr(dot + 1);
    std::transform(kind.begin(), kind.end(), kind.begin(),
                   [](unsigned char byte) { return static_cast<char>(std::tolower(byte)); });
    return std::find(kinds.begin(), kinds.end(), kind) == kinds.end() ? std::string() : kind;
}

std::size_t faces_of(const aiScene& scene) {
    std::size_t count = 0;
    for (unsigned i = 0; i < scene.mNumMeshes; ++i) count += scene.mMeshes[i]->mNumFaces;
    return count;
}

/// The scene's triangles, three points each.
std::vector<Point> soup_of(const aiScene& scene) {
    std::vector<Point> soup;
    soup.reserve(faces_of(scene) * 3);
    for (unsigned i = 0; i < scene.mNumMeshes; ++i) {
        const aiMesh& mesh = *scene.mMeshes[i];
        for (unsigned j = 0; j < mesh.mNumFaces; ++j) {
            const aiFace& face = mesh.mFaces[j];
            if (face.mNumIndices != 3) continue;
            for (unsigned k = 0; k < 3; ++k) {
                const aiVector3D& point = mesh.mVertices[face.mIndices[k]];
                soup.push_back({point.x, point.y, point.z});
            }
        }
    }
    return soup;
}

/// The points in a file of one of the kinds that the library reads.
Soup read_other(std::string_view bytes, const std::string& kind) {
    Assimp::Importer importer;
    importer.SetIOHandler(new NoFiles);  // which it owns
    importer.SetPropertyInteger(AI_CONFIG_PP_SBP_REMOVE,
                                aiPrimitiveType_POINT | aiPrimitiveType_LINE);
    const aiScene* const scene = importer.ReadFileFromMemory(
        bytes.data(), bytes.size(),
        aiProcess_Triangulate | aiProcess_SortByPType | aiProcess_PreTransformVertices,
        kind.c_str());
    const std::string error = importer.GetErrorString();
    if (scene == nullptr && error.find("bad_alloc") != std::string::npos) throw std::bad_alloc();
    if (scene == nullptr) return "cannot be read: " + error;
    // A file that is named as one kind and holds another is read as the other.
    const auto read_by = static_cast<std::size_t>(importer.GetPropertyInteger("importerIndex", -1));
    if (read_by != importer.GetImporterIndex(kind.c_str()))
        return "does not hold what its name says";
    return soup_of(*scene);
}

/// Many times what reading does take. A packed file (3MF) has a tenth of what it says, and that
/// takes four times as much as a tree.
Allowance allowance_for(std::string_view bytes) {
    return {3 + static_cast<unsigned>(bytes.size() >> 20U),
            (std::size_t{256} << 20U) + 40 * bytes.size()};
}

bool are_finite(const std::vector<Point>& soup) {
    return std::all_of(soup.begin(), soup.end(), [](const Point& point) {
        return std::isfinite(point[0]) && std::isfinite(point[1]) && std::isfinite(point[2]);
    });
}

}  // namespace

std::variant<Triangles, NotImported> import(std::string_view bytes, const std::string& name) {
    const std::string kind = kind_of(name);
    if (kind.empty())
        return NotImported{"is of no kind that is read", "export the mesh as STL, OBJ, PLY or 3MF"};
    const std::string mend = "export the mesh anew as STL, OBJ, PLY or 3MF";
    // The library never ends on some files without it.
    if (kind == "ply" && bytes.find("end_header") == std::string_view::npos)
        return NotImported{"has no end_header", mend};
    Soup read = kind == "stl"
                    ? read_stl(bytes)
                    : read_apart([&] { return read_other(bytes, kind); }, allowance_for(bytes));
    if (auto* fault = std::get_if<std::string>(&read)) return NotImported{std::move(*fault), mend};
    const auto& soup = std::get<std::vector<Point>>(read);
    if (soup.size() / 3 > most_triangles)
        return NotImported{"has more than " + std::to_string(most_triangles) + " triangles",
                           "export it with a coarser resolution: 0.01 mm is plenty"};
    if (!are_finite(soup)) return NotImported{"holds coordinates that are no numbers", mend};
    Triangles triangles = weld(soup);
    if (triangles.corners.empty()) return NotImported{"holds no triangles", mend};
    return triangles;
}

}  // namespace durograde::mesh
