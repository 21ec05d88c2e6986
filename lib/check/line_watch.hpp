#pragma once

#include <optional>

#include "check/ledger.hpp"
#include "check/paces.hpp"
#include "check/reader.hpp"

namespace durograde::check {

/// In reach: every line of the output can be read and obeyed by the machine.
class LineWatch {
  public:
    /// `fastest` is what moves beside beads may do. The others must outlive the watch.
    LineWatch(const plan::Machine& machine, const Paces& fastest, Ledger& ledger);

    /// The next line of the output. Of the plan's own lines `around_swap` the plan says the feeds.
    void see(const Reader& reader, bool around_swap) {
        const Act& act = reader.act();
        if (act.moves()) check_reach(act, reader.raw().number);
        if (act.moves() && act.kind != Kind::bead)
            check_pace(act, around_swap ? around_swap_ : fastest_, reader.raw().number);
        if (reader.line().has_number) check_number(reader);
        if (act.kind == Kind::fault) report(reader);
    }

  private:
    void report(const Reader& reader);
    void check_number(const Reader& reader);
    void check_pace(const Act& act, const Paces& fastest, std::uint64_t line);
    void check_reach(const Act& act, std::uint64_t line) {
        const bool inside = act.to.x >= machine_.reach_x.low && act.to.x <= machine_.reach_x.high &&
                            act.to.y >= machine_.reach_y.low && act.to.y <= machine_.reach_y.high &&
                            act.to.z >= machine_.reach_z.low && act.to.z <= machine_.reach_z.high;
        if (!inside || act.is_arc) measure_reach(act, line);
    }
    void measure_reach(const Act& act, std::uint64_t line);

    const plan::Machine& machine_;
    Paces fastest_, around_swap_;
    Ledger& ledger_;
    std::optional<std::int64_t> number_;  ///< of the last numbered line
};

}  // namespace durograde::check
