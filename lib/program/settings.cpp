#include "program/settings.hpp"

#include <algorithm>

namespace durograde::program {

namespace {

constexpr std::uint32_t bed_family = 1400U << 9;

}  // namespace

void Settings::apply(const Step& step, std::string_view text, const SaidLimits& limits,
                     long barriers) {
    limits_ = limits;
    auto family = std::find_if(families_.begin(), families_.end(),
                               [&](const Family& f) { return f.key == step.setting_key; });
    if (family == families_.end()) {
        families_.push_back({step.setting_key, {}, 0});
        family = std::prev(families_.end());
    }
    std::erase_if(family->entries, [&](const Entry& entry) {
        return step.setting_covers_all || (entry.letters & ~step.setting_letters) == 0;
    });
    family->entries.push_back({step.setting_letters, std::string(text)});
    family->said_at = barriers;
}

bool Settings::replaces(const Step& step) const {
    const auto family = std::find_if(families_.begin(), families_.end(),
                                     [&](const Family& f) { return f.key == step.setting_key; });
    if (family == families_.end()) return false;
    std::uint32_t known = 0;
    for (const Entry& entry : family->entries) known |= entry.letters;
    return (step.setting_letters & ~known) == 0;
}

std::vector<std::string_view> Settings::lines_after(const Settings& before, bool anew) const {
    std::vector<std::string_view> lines;
    for (const Family& family : families_) {
        const auto stands = [&](const Family& other) {
            return other.key == family.key && other.entries == family.entries &&
                   other.said_at >= family.said_at && !(anew && family.key != bed_family);
        };
        if (std::any_of(before.families_.begin(), before.families_.end(), stands)) continue;
        for (const Entry& entry : family.entries) lines.push_back(entry.text);
    }
    return lines;
}

}  // namespace durograde::program
