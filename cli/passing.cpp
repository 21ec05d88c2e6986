#include "passing.hpp"

#include <new>
#include <system_error>

namespace durograde::cli {
namespace {

bool is_shortage(const std::error_code& code) {
    for (const auto shortage :
         {std::errc::not_enough_memory, std::errc::resource_unavailable_try_again,
          std::errc::too_many_files_open, std::errc::too_many_files_open_in_system}) {
        if (code == shortage) return true;
    }
    return false;
}

}  // namespace

Failure failure_of(const std::exception& error) {
    if (dynamic_cast<const std::bad_alloc*>(&error) != nullptr) {
        return {Exit::busy, Diagnostic{.code = "no-memory",
                                       .text = "out of memory",
                                       .mend = "try again when there is more, or allow more"}};
    }
    const auto* const refused = dynamic_cast<const std::system_error*>(&error);
    if (refused == nullptr)
        return {Exit::check_failed, Diagnostic{.code = "internal", .text = error.what()}};
    if (is_shortage(refused->code())) {
        return {Exit::busy,
                Diagnostic{.code = "no-resources",
                           .text = std::string("the system has no threads, memory or open files "
                                               "left: ") +
                                   error.what(),
                           .mend = "try again later, or allow the process more"}};
    }
    return {Exit::io_error,
            Diagnostic{.code = "io-failed",
                       .text = error.what(),
                       .mend = "check space and health of the disk, then run again"}};
}

}  // namespace durograde::cli
