#include "grading.hpp"

#include "grade/grade.hpp"

namespace durograde::support {
namespace {

class TextSink final : public Sink {
  public:
    void write(std::string_view bytes) override { text.append(bytes); }
    std::string text;
};

}  // namespace

std::string graded(const plan::Plan& plan, std::string_view program, grade::Figures& figures) {
    ProgramInput input = ProgramInput::from_text(program, "sheet.gcode");
    TextSink sink;
    figures = grade::grade(input, plan, sink);
    return std::move(sink.text);
}

std::string graded(const plan::Plan& plan, std::string_view program) {
    grade::Figures figures;
    return graded(plan, program, figures);
}

}  // namespace durograde::support
