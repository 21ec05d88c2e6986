#include "program/settings.hpp"

#include <algorithm>

namespace durograde::program {

void Settings::apply(const Step& step, std::string_view text, const SaidLimits& limits) {
    limits_ = limits;
    auto family = std::find_if(families_.begin(), families_.end(),
                               [&](const Family& f) { return f.key == step.setting_key; });
    if (family == families_.end()) {
        families_.push_back({step.setting_key, {}});
        family = std::prev(families_.end());
    }
    std::erase_if(family->entries, [&](const Entry& entry) {
        return step.setting_covers_all || (entry.letters & ~step.setting_letters) == 0;
    });
    family->entries.push_back({step.setting_letters, std::string(text)});
}

bool Settings::replaces(const Step& step) const {
    const auto family = std::find_if(families_.begin(), families_.end(),
                                     [&](const Family& f) { return f.key == step.setting_key; });
    if (family == families_.end()) return false;
    std::uint32_t known = 0;
    for (const Entry& entry : family->entries) known |= entry.letters;
    return (step.setting_letters & ~known) == 0;
}

std::vector<std::string_view> Settings::lines_after(const Settings& before,
                                                    const IsStale& stale) const {
    std::vector<std::string_view> lines;
    for (const Family& family : families_) {
        const auto same = [&](const Family& other) { return other == family; };
        const bool stands = std::any_of(before.families_.begin(), before.families_.end(), same);
        if (stands && !(stale && stale(family.key))) continue;
        for (const Entry& entry : family.entries) lines.push_back(entry.text);
    }
    return lines;
}

}  // namespace durograde::program
