#pragma once

#include <string>
#include <utility>

#include "text/diagnostic.hpp"

namespace durograde::grade {

/// A program that cannot be graded as a whole: thrown (Exit::bad_input) with the file's name.
inline Failure refusal(const std::string& file, std::string code, std::string text,
                       std::string mend) {
    return {Exit::bad_input, Diagnostic{.code = std::move(code),
                                        .text = std::move(text),
                                        .mend = std::move(mend),
                                        .place = {file, 0, 0}}};
}

}  // namespace durograde::grade
