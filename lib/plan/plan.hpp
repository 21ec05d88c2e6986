#pragma once

#include <array>
#include <cstddef>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "condition.hpp"
#include "mesh/triangles.hpp"
#include "plan/machine.hpp"
#include "plan/material.hpp"
#include "plan/outlook.hpp"
#include "text/diagnostic.hpp"

/// The plan as data: what the user wants and what the machine is, loaded and validated by load.hpp.
/// Units: mm, degrees, °C, mm/s, mm/s², s, mm³, mm³/s, g/cm³, Shore A. An optional that is empty
/// asks for nothing of its kind.
namespace durograde::plan {

/// dT/dt = rise·u − loss·(T − ambient), u in [0, 1].
struct Heater {
    double rise_k_s = 4.0;
    double loss_per_s = 0.010;
    double ambient_c = 25.0;

    /// Where full power leads to in the end, °C.
    [[nodiscard]] double end_c() const { return ambient_c + rise_k_s / loss_per_s; }
};

struct Retract {
    double length_mm = 1.2, speed_mm_s = 35, restart_mm = 0.0, restart_speed_mm_s = 25;
    long repeats = 20;  ///< of one stretch of filament; more are warned of

    friend bool operator==(const Retract&, const Retract&) = default;
};

struct Wipe {
    double length_mm = 2.0, speed_mm_s = 120;
    double retract_share = 0.0;  ///< of the retraction, made while wiping, 0 to 1

    friend bool operator==(const Wipe&, const Wipe&) = default;
};

/// How a tool goes from the beads that it has printed to others.
struct Travel {
    std::optional<Retract> retract;
    std::optional<Wipe> wipe;
    std::optional<double> coast_mm3;  ///< left unextruded before a protected travel
    std::optional<double> hop_mm;
    std::optional<double> speed_mm_s;  ///< of new travels; else the input's
};

/// A purge block that is built along with the print.
struct Block {
    double x_mm = 0.0, y_mm = 0.0;  ///< of its lower left corner
    double width_mm = 0.0, depth_mm = 0.0;
};

struct Prime {
    bool at_spot = false;   ///< else where the first bead of the visit starts
    bool on_block = false;  ///< on the plan's block
    double x_mm = 0.0, y_mm = 0.0;
    double length_mm = 0.0;  ///< of filament
    bool refills = false;    ///< and what has oozed out while the tool was away
};

struct Tool {
    int number = 0;
    double temperature_c = 0.0;  ///< of one with a range: the lowest, until wishes are answered
    /// Within which it may be set for zones that ask for a hardness, and to how many set-points.
    std::optional<Range> range_c;
    int set_points = 1;
    /// Set-point of an idle tool; without one ("auto") each idle has its own: the lowest from which
    /// the tool is hot again in time.
    std::optional<double> standby_c = 150.0;
    Heater heater;
    double ready_k = 2.0;
    /// How long the controller holds a wait, by a rule of its own, once the tool is ready.
    double settle_s = 0.0;
    Travel travel;
    std::optional<Range> fan;  ///< duty, 0 to 1
    std::optional<double> max_flow_mm3_s;
    std::optional<double> melt_mm3;  ///< of filament in the hot end at a time
    std::optional<Prime> prime;
    Place place;  ///< where the plan says so
};

struct Sphere {
    Vec3 center{};
    double radius = 0.0;
};
struct Box {
    Vec3 center{};
    Vec3 size{};
    double round = 0.0;
};
struct Capsule {
    Vec3 from{}, to{};
    double radius = 0.0;
};
struct Cylinder {
    Vec3 from{}, to{};
    double radius = 0.0;
};
struct Cone {
    Vec3 from{}, to{};
    std::array<double, 2> radius{};
};
struct Plane {
    Vec3 point{};
    Vec3 normal{};
};  ///< negative on the side the normal points away from

/// A surface from a file, scaled, turned and moved into the part's coordinates.
struct Mesh {
    std::string file;                                  ///< as the plan names it
    std::string digest;                                ///< of the file's bytes
    std::shared_ptr<const mesh::Triangles> triangles;  ///< at least one
};

struct Shape {
    std::string name;
    std::variant<Sphere, Box, Capsule, Cylinder, Cone, Plane, Mesh> form;
};

struct Keep {};  ///< the bead keeps the tool and temperature it had
struct ToolNumber {
    int number = 0;
};

/// What a zone that asks for a hardness is given.
struct SetPoint {
    std::size_t zone = 0;
    int tool = 0;
    double temperature_c = 0.0;

    friend bool operator==(const SetPoint&, const SetPoint&) = default;
};

struct Zone {
    std::string name;
    std::string where_text;
    grammar::Condition where;  ///< every shape it names exists
    /// `temperature = T` is resolved to the tool that has T. Where the zone asks for a hardness, it
    /// has none before its wish is answered (plan/set_points.hpp).
    std::variant<Keep, ToolNumber> tool;
    std::optional<double> hardness_shore_a;  ///< that it asks for
    /// What `tool` is set to in this zone; nothing: its own temperature.
    std::optional<double> temperature_c;
    std::optional<double> thinnest_mm;       ///< to be told and warned of
    std::optional<Range> steady_flow_mm3_s;  ///< feeds are changed to stay within it
    /// Where the zone says something of it. Zones of one tool at one temperature have the same.
    std::optional<Travel> travel;
    Place place;
};

struct Split {
    double tolerance_mm = 0.02, shortest_mm = 0.8, step_mm = 0.1;
    double interlock_mm = 0.0;  ///< boundaries are shifted by this, to and fro from layer to layer
};

struct PartPlace {
    double x_mm = 0.0, y_mm = 0.0, turn_deg = 0.0;
    int kind = 0;  ///< parts of one kind have one shape
};

struct Sheet {
    /// Where the parts are known from: a list, the islands of beads, or the program's own labels.
    enum class Source { list, islands, labels };
    Source source = Source::list;
    std::vector<PartPlace> places;  ///< those listed; empty where nothing is asked
    int kinds = 1;                  ///< of different shape, at most, where parts are found

    /// Whether a bead under this label (below 0: none) can be a part's. Where labels tell the
    /// parts, what stands under none, such as a raft or a support, is outside wherever it lies.
    [[nodiscard]] bool takes(int label) const noexcept {
        return source != Source::labels || label >= 0;
    }
    std::variant<Keep, ToolNumber> outside;
};

/// How `depth`, the distance below a part's own surface, is told.
struct Depth {
    double cell_mm = 0.2;
    double limit_mm = 5.0;      ///< what lies deeper counts as this deep
    bool open_cavities = true;  ///< what is open to the outside somewhere is surface inside too
    double narrow_mm = 3.0;     ///< spaces no wider within their layer are no cavities
};

struct Order {
    bool short_tour = true;     ///< `parts = "short"`; else the input's order of the parts
    bool short_strokes = true;  ///< `strokes = "short"`: infill within a part likewise
    bool reverse = false;  ///< beads may be printed from their other end, loops begun elsewhere
    bool begins_inside = false;  ///< after a swap, the innermost stroke of the visit comes first
};

struct Strings {
    double gap_mm = 2.0;
    double bend_mm = 10.0;  ///< by how much a travel may be longer to stay over its part
};

struct Heat {
    double horizon_s = 600, idle_s = 30;
};

struct Plan {
    std::string name;
    std::string file;                ///< as the user named it
    std::vector<std::string> files;  ///< every file read, the first plan last
    Machine machine;
    std::vector<Tool> tools;
    std::optional<Material> material;
    std::vector<Shape> shapes;
    std::vector<Zone> zones;
    Split split;
    Depth depth;
    Sheet sheet;
    std::optional<Order> order;
    std::optional<Strings> strings;
    std::optional<Heat> heat;
    std::optional<Block> block;  ///< where some tool primes on it
    std::optional<Predict> predict;
    std::optional<Cost> cost;
    std::optional<Gradient> gradient;
    std::vector<Diagnostic> warnings;  ///< allowed, and yet hardly meant; in the files' order
    std::string fingerprint;           ///< tells plans apart by their values (plan/fingerprint.hpp)

    /// True where every bead keeps tool and set-point and nothing else is asked for: then the
    /// output is the input, byte for byte.
    [[nodiscard]] bool asks_nothing() const;
    /// Whether some zone asks for a hardness.
    [[nodiscard]] bool has_wishes() const;
    /// Whether some zone's condition asks for `depth`.
    [[nodiscard]] bool uses_depth() const;
    [[nodiscard]] const Tool* find_tool(int number) const;
    /// Set-point of a zone that does not keep its own, °C.
    [[nodiscard]] double temperature_c(const Zone& zone) const;
    /// How a tool goes on from beads that it has printed at this set-point: as the zones of this
    /// tool and set-point say, else as the tool does.
    [[nodiscard]] const Travel& travel(const Tool& tool, double celsius) const;
};

}  // namespace durograde::plan
