#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "plan/findings.hpp"
#include "plan/value.hpp"

namespace durograde::plan {

/// What a number may be. Every bound is finite, so that nan and inf never pass.
struct Bounds {
    double low = -1e6, high = 1e6;
    bool low_is_allowed = true;
};

inline constexpr Bounds any_number{};
inline constexpr Bounds not_negative{0.0, 1e6};
inline constexpr Bounds positive{0.0, 1e6, false};
inline constexpr Bounds fraction{0.0, 1.0};
/// mm³/s of filament: below, a gram takes more than a day, and feeds round to nothing.
inline constexpr Bounds flows{0.01, 1e6};
/// No set-point of any tool is above it, whatever a plan's `hottest` says: a key pressed once too
/// often (2900) must not reach a heater.
inline constexpr double ceiling_c = 500.0;
inline constexpr Bounds temperature_bounds{0.0, ceiling_c, false};

/// Reads one table of a plan key by key, and remembers which keys it was asked for (they are
/// literals, kept by view): whatever else the table holds is reported by `finish`. What is missing,
/// of the wrong type or out of bounds goes to the findings, and reading goes on with the fallback.
class TableReader {
  public:
    /// `name` is what messages call the table: "[machine]", "[[tool]]", "machine.reach".
    TableReader(const Value& table, std::string name, Findings& findings);

    [[nodiscard]] const Value& table() const { return table_; }
    [[nodiscard]] const std::string& name() const { return name_; }
    [[nodiscard]] Findings& findings() const { return findings_; }

    /// The value of a key, or null.
    const Value* find(std::string_view key);
    /// The value of a required key, or null after reporting. `example` shows how to write it.
    const Value* need(std::string_view key, std::string_view example);
    /// Makes a key known that is not read here.
    void know(std::string_view key);

    double number(std::string_view key, double fallback, const Bounds& bounds);
    std::optional<double> optional_number(std::string_view key, const Bounds& bounds);
    /// Not a number where missing or wrong, so that no comparison with it reports a second error.
    double needed_number(std::string_view key, const Bounds& bounds, std::string_view example);
    int whole(std::string_view key, int fallback, const Bounds& bounds);
    bool truth(std::string_view key, bool fallback);
    std::string text(std::string_view key, std::string_view fallback);
    /// One of `words`, as its position; `words[0]` is the default.
    std::size_t choice(std::string_view key, const std::vector<std::string_view>& words);
    /// `count` numbers in a list, or empty.
    std::vector<double> numbers(std::string_view key, std::size_t count, const Bounds& bounds);
    std::vector<double> needed_numbers(std::string_view key, std::size_t count,
                                       const Bounds& bounds, std::string_view example);
    /// A table within the table, if there is one.
    std::optional<TableReader> inner(std::string_view key, const std::string& name);
    /// The same, empty where there is none, for tables whose keys all have defaults.
    TableReader inner_or_empty(std::string_view key, const std::string& name);
    std::optional<TableReader> needed_inner(std::string_view key, const std::string& name,
                                            std::string_view example);
    /// The tables of a list of tables; `name` is that of each.
    std::vector<TableReader> list(std::string_view key, const std::string& name, std::size_t limit);
    /// The texts of a list of texts.
    std::vector<const Value*> texts(std::string_view key, std::size_t limit);

    /// Refuses a feature, where it is asked for, that this version does not have.
    void refuse(const Spot& spot, const std::string& what, const std::string& mend);
    /// Reports the keys that nobody asked for.
    void finish();

    /// "`radius` in [[shape]]", for messages.
    [[nodiscard]] std::string label(std::string_view key) const;

  private:
    const Value* typed(std::string_view key, Kind kind, std::string_view mend);
    std::optional<double> to_number(const Value& value, std::string_view key, const Bounds& bounds);
    std::vector<double> to_numbers(const Value& value, std::string_view key, std::size_t count,
                                   const Bounds& bounds);
    const std::vector<Value>& items_of(const Value& list, std::string_view key, std::size_t limit);
    void wrong_type(const Value& value, std::string_view key, std::string_view wanted,
                    std::string_view mend);
    [[nodiscard]] std::string unknown_key_mend(std::string_view key) const;

    const Value& table_;
    std::string name_;
    Findings& findings_;
    std::vector<std::string_view> known_;  // keys asked for
};

/// A number as messages show it, shortest form.
std::string shown(double value);

}  // namespace durograde::plan
