#include "replay.hpp"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstdlib>

namespace durograde::support {
namespace {

constexpr double chord_mm = 0.1;  // an arc of radius 0.5 mm is shorter by 0.17 % in them

/// The words of one command: letter to number.
std::vector<std::pair<char, double>> words_of(std::string_view line) {
    std::vector<std::pair<char, double>> words;
    std::size_t at = 0;
    while (at < line.size() && line[at] != ';' && line[at] != '*') {
        const char letter = static_cast<char>(std::toupper(static_cast<unsigned char>(line[at])));
        ++at;
        if (letter < 'A' || letter > 'Z') continue;
        std::string number;
        while (at < line.size() &&
               std::string_view("0123456789.+- ").find(line[at]) != std::string_view::npos) {
            if (line[at] != ' ') number += line[at];
            ++at;
        }
        words.emplace_back(letter, number.empty() ? 0.0 : std::strtod(number.c_str(), nullptr));
    }
    return words;
}

/// What follows "M204", in upper case, without blanks, checksum and comment.
std::string parameters_of(std::string_view text) {
    std::string parameters;
    for (const char c : text.substr(text.find_first_of("Mm") + 4)) {
        if (c == '*' || c == ';' || c == '\r') break;
        if (c != ' ') parameters += static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
    }
    return parameters;
}

class Reading {
  public:
    Reading(Replay& replay, const Machine& machine)
        : r_(replay),
          machine_(machine),
          x_(machine.x),
          y_(machine.y),
          z_(machine.z),
          e_(machine.e_count),
          unit_(machine.inch ? 25.4 : 1),
          flow_(machine.flow),
          relative_(machine.relative),
          e_relative_(machine.e_relative),
          tool_(machine.tool) {}

    void line(std::string_view text, std::size_t number) {
        line_ = number;
        if (text.find("durograde: prime begins") != std::string_view::npos) priming_ = true;
        if (text.find("durograde: prime ends") != std::string_view::npos) priming_ = false;
        if (text.find("durograde: swap begins") != std::string_view::npos) around_swap_ = true;
        if (text.find("durograde: swap ends") != std::string_view::npos) end_swap();
        auto words = words_of(text);
        if (!words.empty() && words.front().first == 'N') words.erase(words.begin());
        if (words.empty()) return;
        const auto [letter, code] = words.front();
        const int whole = static_cast<int>(std::lround(code * 10));
        if (letter == 'G') {
            g(whole, words);
        } else if (letter == 'M') {
            m(whole, words, text);
        } else if (letter == 'T' && words.size() == 1 && code < 32) {
            select(static_cast<int>(code));
        } else if (std::string_view("XYZEF").find(letter) != std::string_view::npos) {
            move(motion_, words);
        }
    }

  private:
    using Words = std::vector<std::pair<char, double>>;

    void end_swap() {
        around_swap_ = false;
        if (!machine_.scrambles_behind_lines) return;
        x_ += 17;
        y_ -= 23;
        z_ -= 5;
        e_ += 11;
        feed_ = 55;
        relative_ = true;
        e_relative_ = !e_relative_;
        unit_ = 25.4;
    }

    void select(int tool) {
        if (tool != tool_) ++r_.swaps;
        tool_ = tool;
        if (selected_++ < machine_.first_swap) return;
        if (machine_.zeroes_e) e_ = 0;
        if (machine_.resets_flow) flow_ = 1;
        if (machine_.forgets_feed) feed_ = 77;
        if (machine_.forgets_acceleration) acceleration_ = "unknown";
        if (machine_.leaves_increments) {
            relative_ = true;
            e_relative_ = false;
        }
        if (!machine_.ends_at_dock) return;
        x_ -= 31;
        y_ += 57;
        z_ += 13;
    }

    static const double* find(const Words& words, char letter) {
        for (const auto& word : words) {
            if (word.first == letter) return &word.second;
        }
        return nullptr;
    }

    void g(int code, const Words& words) {
        switch (code) {
            case 0:
            case 10:
            case 20:
            case 30:
                motion_ = code / 10;
                return move(motion_, words);
            case 100:
                drawn_[tool_] = std::max(drawn_[tool_], 1e-3);
                return;
            case 110:
                drawn_[tool_] = 0;
                return;
            case 200:
                unit_ = 25.4;
                return;
            case 210:
                unit_ = 1;
                return;
            case 900:
            case 910:
                relative_ = code == 910;
                if (machine_.distance_sets_e) e_relative_ = relative_;
                return;
            case 920:
                if (const double* e = find(words, 'E')) e_ = *e;
                return;
            default:
                return;
        }
    }

    void m(int code, const Words& words, std::string_view text) {
        const double* s = find(words, 'S');
        switch (code) {
            case 820:
                e_relative_ = false;
                return;
            case 830:
                e_relative_ = true;
                return;
            case 1060:
                fan_ = s != nullptr ? *s : 255;
                return;
            case 1070:
                fan_ = 0;
                return;
            case 2210:
                if (s != nullptr) flow_ = *s / 100;
                return;
            case 2040:
                acceleration_ = parameters_of(text);
                return;
            case 2000: {
                const double* d = find(words, 'D');
                area_ = d != nullptr && *d > 0 ? 3.14159265358979 / 4 * *d * *d : 0;
                return;
            }
            case 1040:
            case 1090: {
                const double* t = find(words, 'T');
                const int tool = t != nullptr ? static_cast<int>(*t) : tool_;
                if (s != nullptr) r_.set_points_c[tool] = *s;
                r_.hottest_c[tool] = std::max(r_.hottest_c[tool], r_.set_points_c[tool]);
                return;
            }
            default:
                return;
        }
    }

    void move(int motion, const Words& words) {
        double to[3] = {x_, y_, z_};
        for (const auto& [letter, value] : words) {
            if (letter >= 'X' && letter <= 'Z') {
                double& axis = to[letter - 'X'];
                axis = relative_ ? axis + value * unit_ : value * unit_;
            }
            if (letter == 'F') feed_ = value * unit_;
        }
        double fed = 0;
        if (const double* e = find(words, 'E')) {
            fed = e_relative_ ? *e : *e - e_;
            e_ = e_relative_ ? e_ + *e : *e;
            fed *= area_ > 0 ? 1 / area_ : unit_;
        }
        if (around_swap_) {
            r_.fed_around_swaps_mm += fed;
            drawn_[tool_] = std::max(0.0, drawn_[tool_] - fed);
            fed = 0;
        }
        const bool along = std::hypot(to[0] - x_, to[1] - y_) > 1e-9 || motion >= 2;
        if (fed > 1e-12 && along) {
            fed *= flow_;
            if (motion >= 2) {
                arc(motion == 2, to, words, fed);
            } else {
                bead(to[0], to[1], to[2], fed);
            }
        } else if (std::abs(fed) > 0) {
            if (priming_ && fed > 0) {
                r_.primed_mm += fed;
            } else {
                drawn_[tool_] = std::max(0.0, drawn_[tool_] - fed);
            }
        }
        x_ = to[0];
        y_ = to[1];
        z_ = to[2];
        r_.low_x = std::min(r_.low_x, x_);
        r_.high_x = std::max(r_.high_x, x_);
    }

    void arc(bool clockwise, const double* to, const Words& words, double fed) {
        const double dx = to[0] - x_, dy = to[1] - y_;
        double cx = x_, cy = y_;
        if (const double* r = find(words, 'R')) {
            const double radius = *r * unit_, chord = std::hypot(dx, dy);
            const double height = std::sqrt(std::max(0.0, radius * radius - chord * chord / 4));
            const double side = clockwise == (radius > 0) ? 1 : -1;
            cx += dx / 2 + side * height * dy / chord;
            cy += dy / 2 - side * height * dx / chord;
        } else {
            if (const double* i = find(words, 'I')) cx += *i * unit_;
            if (const double* j = find(words, 'J')) cy += *j * unit_;
        }
        const double radius = std::hypot(x_ - cx, y_ - cy);
        const double a0 = std::atan2(y_ - cy, x_ - cx);
        double sweep = std::atan2(to[1] - cy, to[0] - cx) - a0;
        constexpr double turn = 6.283185307179586;
        while (clockwise && sweep > -1e-9) sweep -= turn;
        while (!clockwise && sweep < 1e-9) sweep += turn;
        const int chords = static_cast<int>(std::abs(sweep) * radius / chord_mm) + 1;
        const double x0 = x_, y0 = y_, z0 = z_;
        for (int i = 1; i <= chords; ++i) {
            const double share = static_cast<double>(i) / chords;
            const double angle = a0 + sweep * share;
            const bool last = i == chords;
            const double x = last ? to[0] : cx + radius * std::cos(angle);
            const double y = last ? to[1] : cy + radius * std::sin(angle);
            bead(x, y, z0 + (to[2] - z0) * share, fed / chords);
            x_ = x;
            y_ = y;
        }
        x_ = x0;
        y_ = y0;
    }

    void bead(double x, double y, double z, double fed) {
        Bead bead;
        bead.x0 = x_;
        bead.y0 = y_;
        bead.z0 = z_;
        bead.x1 = x;
        bead.y1 = y;
        bead.z1 = z;
        bead.e_mm = fed;
        bead.feed_mm_min = feed_;
        bead.fan = fan_;
        bead.acceleration = acceleration_;
        bead.tool = tool_;
        bead.set_point_c = r_.set_points_c.count(tool_) != 0 ? r_.set_points_c[tool_] : 0;
        bead.retracted = drawn_[tool_] > 1e-4;
        bead.priming = priming_;
        bead.line = line_;
        r_.beads.push_back(bead);
        if (!priming_) r_.filament_mm += fed;
    }

    Replay& r_;
    Machine machine_;
    double x_, y_, z_, e_, feed_ = 0, unit_, fan_ = 0, area_ = 0, flow_;
    bool relative_, e_relative_, priming_ = false, around_swap_ = false;
    int motion_ = 0, tool_;
    long selected_ = 0;
    std::size_t line_ = 0;
    std::string acceleration_;
    std::map<int, double> drawn_;
};

}  // namespace

double Bead::length_mm() const {
    return std::hypot(x1 - x0, y1 - y0, z1 - z0);
}

Replay replay(std::string_view program) {
    return replay(program, {});
}

Replay replay(std::string_view program, const Machine& machine) {
    Replay result;
    Reading reading(result, machine);
    std::size_t number = 0;
    while (!program.empty()) {
        const std::size_t feed = program.find('\n');
        reading.line(program.substr(0, feed), ++number);
        program.remove_prefix(feed == std::string_view::npos ? program.size() : feed + 1);
    }
    return result;
}

}  // namespace durograde::support
