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
                               [&](const auto& f) { return f->key == step.setting_key; });
    if (family == families_.end())
        family =
            families_.insert(family, std::make_shared<Family>(Family{step.setting_key, {}, 0}));
    auto changed = std::make_shared<Family>(**family);
    std::erase_if(changed->entries, [&](const Entry& entry) {
        return step.setting_covers_all || (entry.letters & ~step.setting_letters) == 0;
    });
    changed->entries.push_back({step.setting_letters, std::string(text)});
    changed->said_at = barriers;
    *family = std::move(changed);
}

bool Settings::replaces(const Step& step) const {
    const auto family = std::find_if(families_.begin(), families_.end(),
                                     [&](const auto& f) { return f->key == step.setting_key; });
    if (family == families_.end()) return false;
    std::uint32_t known = 0;
    for (const Entry& entry : (*family)->entries) known |= entry.letters;
    return (step.setting_letters & ~known) == 0;
}

std::vector<std::string_view> Settings::lines_after(const Settings& before, bool anew) const {
    std::vector<std::string_view> lines;
    for (const auto& family : families_) {
        const auto stands = [&](const auto& other) {
            return other->key == family->key && other->entries == family->entries &&
                   other->said_at >= family->said_at && !(anew && family->key != bed_family);
        };
        if (std::any_of(before.families_.begin(), before.families_.end(), stands)) continue;
        for (const Entry& entry : family->entries) lines.push_back(entry.text);
    }
    return lines;
}

bool operator==(const Settings& a, const Settings& b) {
    return a.limits_ == b.limits_ &&
           std::equal(a.families_.begin(), a.families_.end(), b.families_.begin(),
                      b.families_.end(),
                      [](const auto& x, const auto& y) { return x == y || *x == *y; });
}

}  // namespace durograde::program
