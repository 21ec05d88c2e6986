#include "plan/load.hpp"

#include <utility>
#include <variant>

#include "plan/fingerprint.hpp"
#include "plan/includes.hpp"
#include "plan/overrides.hpp"
#include "plan/read_file.hpp"
#include "plan/sections.hpp"

namespace durograde::plan {
namespace {

void read_format(TableReader& root) {
    const Value* const format = root.need("format", "format = 1");
    if (format == nullptr || (format->kind == Kind::whole && format->number == 1.0)) return;
    root.findings().error("wrong-format", format->spot, "the plan is of another format than 1",
                          "write `format = 1`; a later version of the program reads later formats");
}

/// Sections in the order in which they are held against each other.
void read_sections(TableReader& root, Plan& plan) {
    plan.name = root.text("name", "");
    plan.machine = read_machine(root);
    plan.material = read_material(root);
    plan.split = read_split(root);
    plan.depth = read_depth(root);
    plan.order = read_order(root);
    plan.strings = read_strings(root);
    plan.heat = read_heat(root);
    plan.tools = read_tools(
        root, {plan.machine, plan.material, plan.strings.has_value(), plan.heat.has_value()});
    plan.block = read_block(root, plan.machine, plan.tools);
    plan.shapes = read_shapes(root);
    plan.gradient = read_gradient(root, plan);
    plan.zones = read_zones(root, plan);
    plan.sheet = read_sheet(root, plan);
    plan.predict = read_predict(root, plan);
    plan.cost = read_cost(root);
}

[[noreturn]] void fail_unread(const std::string& file, const Unread& unread) {
    Diagnostic diagnostic;
    diagnostic.code = "unread";
    diagnostic.text = "the plan " + unread.text;
    diagnostic.mend = unread.mend;
    diagnostic.place.file = file;
    throw Failure(unread.exists ? Exit::bad_plan : Exit::no_input, std::move(diagnostic));
}

Plan load_from(std::string text, const std::string& file, const std::vector<Override>& overrides,
               std::vector<std::string>* files_read) {
    Sources sources;
    Findings findings(sources, files_read);
    Gathered gathered = gather(std::move(text), file, sources, findings);
    apply_overrides(gathered.root, overrides, sources, findings);
    // A text that does not parse leaves out sections, which would then be reported as missing.
    findings.stop_if_failed();

    Plan plan;
    plan.file = file;
    plan.files = std::move(gathered.files);
    TableReader root(gathered.root, "the plan", findings);
    root.know("include");
    read_format(root);
    read_sections(root, plan);
    root.finish();
    findings.stop_if_failed();
    plan.fingerprint = plan::fingerprint(gathered.root, plan.shapes);
    plan.warnings = findings.take_warnings();
    return plan;
}

}  // namespace

Plan load(const std::string& file, const std::vector<Override>& overrides,
          std::vector<std::string>* files_read) {
    if (files_read != nullptr) files_read->push_back(file);
    auto text = read_plan_file(file);
    if (const auto* unread = std::get_if<Unread>(&text)) fail_unread(file, *unread);
    return load_from(std::get<std::string>(std::move(text)), file, overrides, files_read);
}

Plan load_text(std::string_view toml, const std::string& file,
               const std::vector<Override>& overrides) {
    if (toml.size() > plan_size_limit) fail_unread(file, plan_too_large());
    return load_from(std::string(toml), file, overrides, nullptr);
}

}  // namespace durograde::plan
