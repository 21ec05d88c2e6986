#pragma once

#include <map>

#include "region/footprint.hpp"
#include "region/zones.hpp"

namespace durograde::grade {

/// Travel over open air, of which strings come, mm.
struct OpenAirFigures {
    double before_mm = 0.0;  ///< as sliced
    double after_mm = 0.0;   ///< as graded
    double bare_mm = 0.0;    ///< of that, not retracted

    OpenAirFigures& operator+=(const OpenAirFigures& more) {
        before_mm += more.before_mm;
        after_mm += more.after_mm;
        bare_mm += more.bare_mm;
        return *this;
    }
};

/// Where a travel comes from: strings hang on the bead that was printed last. After a swap, the
/// bead that the tool has come for.
struct Origin {
    int zone = region::no_zone;
    int part = region::outside;
    double temperature_c = 0.0;  ///< set-point of the tool; 0: not known

    friend bool operator==(const Origin&, const Origin&) = default;
};

/// Travel over open air by where it comes from.
struct OpenAirAccount {
    OpenAirFigures all;
    std::map<int, OpenAirFigures> zones;            ///< region::no_zone: outside the parts
    std::map<int, OpenAirFigures> parts;            ///< region::outside: none
    std::map<double, OpenAirFigures> temperatures;  ///< by set-point in °C; 0: not known

    void add(const Origin& from, const OpenAirFigures& more) {
        all += more;
        zones[from.zone] += more;
        parts[from.part] += more;
        temperatures[from.temperature_c] += more;
    }
    void add(const OpenAirAccount& more) {
        all += more.all;
        for (const auto& [zone, figures] : more.zones) zones[zone] += figures;
        for (const auto& [part, figures] : more.parts) parts[part] += figures;
        for (const auto& [at, figures] : more.temperatures) temperatures[at] += figures;
    }
};

}  // namespace durograde::grade
