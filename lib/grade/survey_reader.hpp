#pragma once

#include <cstdint>
#include <vector>

#include "grade/e_mode_doubt.hpp"
#include "grade/ending.hpp"
#include "grade/gantry.hpp"
#include "grade/slips.hpp"
#include "grade/survey.hpp"
#include "program/interpreter.hpp"

namespace durograde::grade {

/// What the second half of a survey must know of a line.
struct SeenLine {
    program::StepKind kind = program::StepKind::blank;
    bool firmware_retracted = false, e_relative = false;
    bool primes = false;       ///< feeds filament in place
    std::int32_t arc = -1;     ///< index into the batch's arcs
    std::int32_t limits = -1;  ///< of a setting: index into the batch's limits
    std::int32_t tool = 0, label = -1;
    program::Point from, to;
    double e_mm = 0.0, feed_mm_min = 0.0;
    double dwell_s = 0.0, speed_factor = 1.0, set_point_c = 0.0;
    std::uint64_t end_offset = 0;

    [[nodiscard]] bool moves() const {
        using program::StepKind;
        return kind == StepKind::bead || kind == StepKind::travel || kind == StepKind::wipe ||
               kind == StepKind::filament;
    }
};
/// A stretch of lines.
struct SeenLines {
    std::vector<SeenLine> lines;
    std::vector<program::Arc> arcs;
    std::vector<program::SaidLimits> limits;
};

/// First half of a survey: reads and interprets lines, notes how they are written.
class SurveyReader {
  public:
    /// All must outlive the reader.
    SurveyReader(LineSource& source, const program::Dialect& dialect, const plan::Machine& machine,
                 Survey& survey)
        : source_(source),
          interpreter_(dialect, source.name()),
          s_(survey),
          gantry_(machine.gantry_mm) {}

    /// Fills `batch` with the next lines. False at the end. Throws Failure (Exit::bad_input) where
    /// the file is no program that can be graded.
    bool fill(SeenLines& batch);
    /// What the whole reading has told of the program's writing.
    void finish();

  private:
    void add(SeenLines& batch);
    void check_comment() const;
    void interpret();
    double set_point(const program::State& state);
    void note_style();

    LineSource& source_;
    program::Interpreter interpreter_;
    Survey& s_;
    RawLine raw_;
    grammar::Line line_;
    program::Step step_;
    EModeDoubt e_mode_doubt_;
    EndingWatch ending_;
    LostPosition lost_;
    Gantry gantry_;
    ToolWords tool_words_;
    int tool_ = -1;
    double set_point_c_ = 0.0;
};

}  // namespace durograde::grade
