#pragma once

#include <algorithm>
#include <initializer_list>

#include "targets.hpp"
#include "text/diagnostic.hpp"

namespace durograde::fuzz {

/// A refusal ends with one of `exits` and tells what is wrong, where, and how fix; nothing
/// of it can move a terminal's cursor.
inline void promise_refusal(const Failure& failure, std::initializer_list<Exit> exits) {
    promise(std::find(exits.begin(), exits.end(), failure.exit()) != exits.end(),
            "refused with another exit status");
    promise(!failure.diagnostics().empty(), "refused without a diagnostic");
    for (const Diagnostic& diagnostic : failure.diagnostics()) {
        promise(!diagnostic.code.empty() && !diagnostic.text.empty(), "refused without a reason");
        promise(!diagnostic.place.file.empty(), "refused without a place");
        promise(!diagnostic.mend.empty(), "refused without a remedy");
        const std::string said = format(diagnostic);
        const auto moves = [](char byte) {
            return static_cast<unsigned char>(byte) < 0x20 && byte != '\n';
        };
        promise(std::none_of(said.begin(), said.end(), moves), "a message with control bytes");
    }
}

}  // namespace durograde::fuzz
