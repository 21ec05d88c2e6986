#include "originals.hpp"

#include <filesystem>

#include "text/diagnostic.hpp"
#include "text/digest.hpp"
#include "text/release.hpp"

namespace durograde::cli {
namespace {

namespace fs = std::filesystem;

/// Whether `path` holds the job's bytes and will go on holding them.
bool holds(const std::string& path, const Job& job, const std::string& digest) {
    std::error_code error;
    if (job.is_at(path) || !fs::is_regular_file(path, error)) return false;
    return digest_of(ProgramInput::open(path)) == digest;
}

bool put_beside(const Job& job, const std::string& path) {
    Release copy(path);
    ProgramInput input = job.input();
    input.copy_to(copy.sink());
    return copy.release_beside();
}

}  // namespace

std::string digest_of(ProgramInput input) {
    DigestSink sink(nullptr);
    input.copy_to(sink);
    return sink.digest().hex();
}

std::string keep_original(const Job& job, const std::string& folder) {
    constexpr int most_namesakes = 10'000;
    const std::string digest = digest_of(job.input());
    for (int number = 1; number <= most_namesakes; ++number) {
        const std::string suffix = number == 1 ? "" : "." + std::to_string(number);
        std::string path = fs::path(folder) / (job.name() + suffix);
        std::error_code error;
        const bool is_taken = fs::exists(path, error);
        if (is_taken ? holds(path, job, digest) : put_beside(job, path)) return path;
    }
    throw Failure(Exit::cannot_create,
                  Diagnostic{.code = "cannot-create",
                             .text = "the folder of originals is full of programs of this name",
                             .mend = "empty the folder",
                             .place = {folder, 0, 0}});
}

}  // namespace durograde::cli
