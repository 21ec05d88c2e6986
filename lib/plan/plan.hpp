#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "command_template.hpp"
#include "condition.hpp"
#include "mesh/triangles.hpp"
#include "text/diagnostic.hpp"

/// The plan as data: what the user wants and what the machine is, loaded and validated by load.hpp.
/// Units: mm, degrees, °C, mm/s, mm/s², s, mm³, mm³/s, g/cm³, Shore A. An optional that is empty
/// asks for nothing of its kind.
namespace durograde::plan {

struct Range {
    double low = 0.0, high = 0.0;
};

struct PerAxis {
    double x = 0.0, y = 0.0, z = 0.0, e = 0.0;
};

struct Accelerations {
    double x = 5000, y = 5000, z = 300, e = 5000;  ///< limits of each axis, mm/s²
    double print = 3000, travel = 4000;  ///< of the path until the program says otherwise, mm/s²
};

/// Cornering by junction deviation: how far a rounded corner may stray from the path.
struct Deviation {
    double mm = 0.02;
};
/// Cornering by the largest instantaneous change of each axis' speed, mm/s.
using Jerk = PerAxis;

/// A line of the plan's own around a swap, and where it stands there.
struct SwapLine {
    grammar::CommandTemplate command;
    Place place;
};

/// How this controller is told things.
struct Writes {
    grammar::CommandTemplate set, wait, select;
    std::optional<grammar::CommandTemplate> wait_cool;  ///< waits for a tool that is too hot
    bool wait_cools = false;                            ///< `wait` does so, too
    std::vector<SwapLine> before_swap, after_swap;
    /// Some of them move, or say how numbers are read: then they are read in absolute mm and
    /// increments of filament, until they say otherwise.
    bool before_says_numbers = false, after_says_numbers = false;
    bool swap_says_units = false;  ///< G20 or G21 is among them

    [[nodiscard]] bool has_swap_lines() const {
        return !before_swap.empty() || !after_swap.empty();
    }
    [[nodiscard]] bool swap_says_numbers() const {
        return before_says_numbers || after_says_numbers;
    }
};

enum class RetractOrTool { retract, tool };

/// Where controllers differ in what a command means.
struct Reads {
    bool distance_mode_sets_e = true;  ///< G90/G91 also set the E mode
    double dwell_p_s = 0.001;          ///< seconds per unit of P in G4
    double fan_full = 255;             ///< S of M106 at full: 255 or 1
    double speed_limit_per_s = 1.0;    ///< seconds per time unit of M203: 1 or 60
    RetractOrTool g10 = RetractOrTool::retract;
    bool set_also_standby = false;  ///< M104 sets a tool's standby value too
};

struct Machine {
    Range reach_x, reach_y, reach_z;
    std::optional<double> gantry_mm;  ///< what is printed may stand so far above the nozzle's tip
    double filament_mm = 1.75;  ///< diameter
    double hottest_c = 0.0;
    double coldest_extrusion_c = 170.0;
    double swap_time_s = 9.0;
    PerAxis speed{350, 350, 12, 60};
    Accelerations acceleration;
    std::variant<Deviation, Jerk> cornering = Deviation{};
    std::vector<std::string> settings;  ///< commands, upper case, that only set state: "M8572"
    std::vector<std::string> tells;     ///< commands or names, upper case, that only tell or ask
    Writes write;
    Reads read;

    /// What both axes of the bed can do, mm/min: no travel is faster.
    [[nodiscard]] double fastest_mm_min() const { return 60 * std::min(speed.x, speed.y); }
    /// Cross-section of the filament, mm².
    [[nodiscard]] double filament_area_mm2() const;
};

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
    double temperature_c = 0.0;
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

struct MaterialPoint {
    double temperature_c = 0.0;
    double flow = 1.0;
    double density_g_cm3 = 0.0;     ///< 0 where not given
    double hardness_shore_a = 0.0;  ///< 0 where not given
    double ooze_mm3 = 0.0;          ///< in the first minute idle
};

struct Material {
    std::string name;
    double price_per_kg = 0.0;
    std::vector<MaterialPoint> points;  ///< by rising temperature, two or more
};

using Vec3 = std::array<double, 3>;

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

struct Zone {
    std::string name;
    std::string where_text;
    grammar::Condition where;             ///< every shape it names exists
    std::variant<Keep, ToolNumber> tool;  ///< `temperature = T` is resolved to the tool that has T
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
    std::optional<Block> block;        ///< where some tool primes on it
    std::vector<Diagnostic> warnings;  ///< allowed, and yet hardly meant; in the files' order
    std::string fingerprint;           ///< tells plans apart by their values (plan/fingerprint.hpp)

    /// True where every bead keeps tool and set-point and nothing else is asked for: then the
    /// output is the input, byte for byte.
    [[nodiscard]] bool asks_nothing() const;
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
