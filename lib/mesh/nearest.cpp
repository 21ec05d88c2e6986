#include "mesh/nearest.hpp"

#include <embree3/rtcore.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>

#include "mesh/vectors.hpp"

namespace durograde::mesh {

Point nearest_on(const std::array<Point, 3>& triangle, const Point& point) {
    const auto& [a, b, c] = triangle;
    const Point ab = b - a, ac = c - a, ap = point - a;
    const double d1 = dot(ab, ap), d2 = dot(ac, ap);
    if (d1 <= 0 && d2 <= 0) return a;
    const Point bp = point - b;
    const double d3 = dot(ab, bp), d4 = dot(ac, bp);
    if (d3 >= 0 && d4 <= d3) return b;
    const Point cp = point - c;
    const double d5 = dot(ab, cp), d6 = dot(ac, cp);
    if (d6 >= 0 && d5 <= d6) return c;
    const double vc = d1 * d4 - d3 * d2;
    if (vc <= 0 && d1 >= 0 && d3 <= 0) return a + (d1 / (d1 - d3)) * ab;
    const double vb = d5 * d2 - d1 * d6;
    if (vb <= 0 && d2 >= 0 && d6 <= 0) return a + (d2 / (d2 - d6)) * ac;
    const double va = d3 * d6 - d5 * d4;
    if (va <= 0 && d4 >= d3 && d5 >= d6) return b + ((d4 - d3) / ((d4 - d3) + (d5 - d6))) * (c - b);
    const double sum = va + vb + vc;
    return a + (vb / sum) * ab + (vc / sum) * ac;
}

namespace {

struct Search {
    const Triangles& triangles;
    Point point;
    float slack_mm = 0.0F;
    double square_mm2 = std::numeric_limits<double>::infinity();
    std::size_t looks = 0;
};

}  // namespace

struct Nearest::Boxes {
    explicit Boxes(const Triangles& given) : triangles(&given) {}
    ~Boxes() {
        rtcReleaseScene(scene);
        rtcReleaseDevice(device);
    }
    Boxes(const Boxes&) = delete;
    Boxes& operator=(const Boxes&) = delete;

    [[nodiscard]] Search search(const Point& point, double at_most_mm) const;

    const Triangles* triangles;
    RTCDevice device = nullptr;
    RTCScene scene = nullptr;
    double largest_mm = 1.0;  ///< coordinate, but for its sign
};

namespace {

/// Looks at one triangle that a box holds; true where the search narrows.
bool look(RTCPointQueryFunctionArguments* at) {
    auto& search = *static_cast<Search*>(at->userPtr);
    ++search.looks;
    const Point away =
        nearest_on(search.triangles.triangle(at->primID), search.point) - search.point;
    const double square = dot(away, away);
    if (square >= search.square_mm2) return false;
    search.square_mm2 = square;
    at->query->radius = static_cast<float>(std::sqrt(square)) + search.slack_mm;
    return true;
}

template <typename Number>
Number* new_buffer(RTCGeometry geometry, RTCBufferType type, RTCFormat format, std::size_t count) {
    void* const buffer =
        rtcSetNewGeometryBuffer(geometry, type, 0, format, 3 * sizeof(Number), count);
    if (buffer == nullptr) throw std::bad_alloc();
    return static_cast<Number*>(buffer);
}

void fill(RTCGeometry geometry, const Triangles& triangles) {
    auto* coordinate = new_buffer<float>(geometry, RTC_BUFFER_TYPE_VERTEX, RTC_FORMAT_FLOAT3,
                                         triangles.points.size());
    for (const Point& point : triangles.points) {
        for (const double value : point) *coordinate++ = static_cast<float>(value);
    }
    auto* corner = new_buffer<std::uint32_t>(geometry, RTC_BUFFER_TYPE_INDEX, RTC_FORMAT_UINT3,
                                             triangles.corners.size());
    for (const auto& corners : triangles.corners)
        corner = std::copy(corners.begin(), corners.end(), corner);
}

double largest_of(const Point& point) {
    return std::max({std::abs(point[0]), std::abs(point[1]), std::abs(point[2])});
}

/// What boxes, point and radius are wrong by at most, which have single precision: each is rounded
/// by half an epsilon of it; eight leave room for the sums of the search.
float slack_mm(double largest_mm) {
    return static_cast<float>(8 * largest_mm) * std::numeric_limits<float>::epsilon();
}

}  // namespace

Nearest::Nearest(const Triangles& triangles) : boxes_(std::make_unique<Boxes>(triangles)) {
    // One thread: the hierarchy of 100,000 triangles takes a fraction of a second.
    boxes_->device = rtcNewDevice("threads=1");
    boxes_->scene = rtcNewScene(boxes_->device);
    rtcSetSceneFlags(boxes_->scene, RTC_SCENE_FLAG_ROBUST | RTC_SCENE_FLAG_COMPACT);
    const RTCGeometry geometry = rtcNewGeometry(boxes_->device, RTC_GEOMETRY_TYPE_TRIANGLE);
    fill(geometry, triangles);
    rtcSetGeometryPointQueryFunction(geometry, look);
    rtcCommitGeometry(geometry);
    rtcAttachGeometry(boxes_->scene, geometry);
    rtcReleaseGeometry(geometry);
    rtcCommitScene(boxes_->scene);
    if (rtcGetDeviceError(boxes_->device) != RTC_ERROR_NONE) throw std::bad_alloc();
    for (const Point& point : triangles.points)
        boxes_->largest_mm = std::max(boxes_->largest_mm, largest_of(point));
}

Nearest::~Nearest() = default;
Nearest::Nearest(Nearest&&) noexcept = default;
Nearest& Nearest::operator=(Nearest&&) noexcept = default;

Search Nearest::Boxes::search(const Point& point, double at_most_mm) const {
    RTCPointQuery query;
    query.x = static_cast<float>(point[0]);
    query.y = static_cast<float>(point[1]);
    query.z = static_cast<float>(point[2]);
    query.time = 0.0F;
    Search search{*triangles, point, slack_mm(std::max(largest_mm, largest_of(point)))};
    query.radius = static_cast<float>(at_most_mm) + search.slack_mm;
    RTCPointQueryContext context;
    rtcInitPointQueryContext(&context);
    rtcPointQuery(scene, &query, &context, nullptr, &search);
    return search;
}

double Nearest::distance_mm(const Point& point, double at_most_mm) const {
    return std::sqrt(boxes_->search(point, at_most_mm).square_mm2);
}

std::size_t Nearest::looks(const Point& point) const {
    return boxes_->search(point, std::numeric_limits<double>::infinity()).looks;
}

}  // namespace durograde::mesh
