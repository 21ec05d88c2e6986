#pragma once

#include <map>

#include "plan/plan.hpp"

namespace durograde::check {

/// How each tool goes on from the beads that it has printed last.
class Travels {
  public:
    /// `plan` must outlive them.
    explicit Travels(const plan::Plan& plan) : plan_(plan) {}

    /// The tool has printed a bead that the plan grades, at this set-point.
    void print(int tool, double celsius) {
        const plan::Tool* known = plan_.find_tool(tool);
        if (known != nullptr) by_tool_[tool] = &plan_.travel(*known, celsius);
    }

    /// Asks nothing of a tool that the plan does not know.
    [[nodiscard]] const plan::Travel& of(int tool) const {
        static const plan::Travel nothing;
        const auto found = by_tool_.find(tool);
        if (found != by_tool_.end()) return *found->second;
        const plan::Tool* known = plan_.find_tool(tool);
        return known != nullptr ? known->travel : nothing;
    }

  private:
    const plan::Plan& plan_;
    std::map<int, const plan::Travel*> by_tool_;
};

}  // namespace durograde::check
