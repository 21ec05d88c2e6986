#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "plan/sources.hpp"
#include "text/diagnostic.hpp"

namespace durograde::plan {

/// Collects what is wrong with a plan, so that the user sees all of it at once. A plan that is
/// wrong throughout is not listed without end: errors beyond a limit are only counted.
class Findings {
  public:
    /// `files_read`, where given, gets the path of every file that the plan names and that is read.
    explicit Findings(const Sources& sources, std::vector<std::string>* files_read = nullptr)
        : sources_(sources), files_read_(files_read) {}

    void note_read(std::string path) {
        if (files_read_ != nullptr) files_read_->push_back(std::move(path));
    }

    void error(std::string_view code, const Spot& spot, std::string text, std::string mend);
    void warning(std::string_view code, const Spot& spot, std::string text, std::string mend);
    /// An error `offset` bytes into the string value `content` that begins at `spot`.
    void error_inside(std::string_view code, const Spot& spot, std::string_view content,
                      std::size_t offset, std::string text, std::string mend);

    /// Whether a further error will be listed, and not only counted.
    [[nodiscard]] bool lists_errors() const noexcept;

    /// "file:line", to name a second place within a message.
    [[nodiscard]] std::string reference(const Spot& spot) const { return sources_.reference(spot); }

    /// Name of the file that the text at `spot` stands in, and of the first plan, which overrides
    /// count as part of.
    [[nodiscard]] const std::string& file(const Spot& spot) const { return sources_.file(spot); }
    [[nodiscard]] const std::string& first_file() const { return sources_.first_file(); }

    [[nodiscard]] Place place(const Spot& spot) const { return sources_.show(spot).place; }

    /// Throws `Failure` (Exit::bad_plan) with everything found, warnings too, if anything is an
    /// error.
    void stop_if_failed();
    /// The warnings, in the order of files and lines. Ends the collection.
    std::vector<Diagnostic> take_warnings();

  private:
    struct Found {
        Spot spot;
        Diagnostic diagnostic;
    };

    bool has_room(Severity severity);
    void add(Severity severity, std::string_view code, const Spot& spot, Shown shown,
             std::string text, std::string mend);
    std::vector<Diagnostic> take_sorted();

    const Sources& sources_;
    std::vector<std::string>* files_read_;
    std::vector<Found> found_;
    bool failed_ = false;
    std::size_t not_listed_ = 0;
};

}  // namespace durograde::plan
