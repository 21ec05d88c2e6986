/// @file
/// `durograde_sheet`: writes generated sheets, and what is needed to use them.
#include <charconv>
#include <cstdint>
#include <cstdio>
#include <cstring>
#include <string>
#include <string_view>

#include "presets.hpp"
#include "sheet.hpp"

namespace {

using durograde::sheets::Style;

constexpr int exit_usage = 64;
constexpr int exit_cannot_create = 73;
constexpr int exit_io = 74;

constexpr const char* usage =
    "usage: durograde_sheet --seed N            [--places] [-o FILE]\n"
    "       durograde_sheet --demo              [--places] [-o FILE]\n"
    "       durograde_sheet --bench MB [--parts N] [--plan] [-o FILE]\n"
    "writes a made-up sheet; --places its [sheet] table, --plan a plan in three zones instead\n";

struct Options {
    enum class Kind { none, seed, demo, bench } kind = Kind::none;
    enum class Output { sheet, places, plan } output = Output::sheet;
    std::uint64_t number = 0;
    int parts = 24;
    const char* file = nullptr;
};

template <typename Number>
bool read_number(const char* text, Number& number) {
    if (text == nullptr) return false;
    const char* end = text + std::strlen(text);
    const auto [at, error] = std::from_chars(text, end, number);
    return error == std::errc{} && at == end;
}

/// Reads the option at `argument` and, where it has one, its value; gives how many words it took,
/// 0 if it is wrong.
int read_option(char** argument, Options& options) {
    const std::string_view word = argument[0];
    const char* value = argument[1];
    if (word == "--demo") {
        options.kind = Options::Kind::demo;
    } else if (word == "--places") {
        options.output = Options::Output::places;
    } else if (word == "--plan") {
        options.output = Options::Output::plan;
    } else if (word == "--seed" || word == "--bench") {
        options.kind = word == "--seed" ? Options::Kind::seed : Options::Kind::bench;
        return read_number(value, options.number) ? 2 : 0;
    } else if (word == "--parts") {
        return read_number(value, options.parts) && options.parts >= 1 &&
                       options.parts <= durograde::sheets::bench_most_parts
                   ? 2
                   : 0;
    } else if (word == "-o" && value != nullptr) {
        options.file = value;
        return 2;
    } else {
        return 0;
    }
    return 1;
}

bool read_options(char** argument, Options& options) {
    while (*argument != nullptr) {
        const int taken = read_option(argument, options);
        if (taken == 0) return false;
        argument += taken;
    }
    const bool planned = options.output == Options::Output::plan;
    return options.kind != Options::Kind::none &&
           (!planned || options.kind == Options::Kind::bench);
}

Style style_of(const Options& options) {
    switch (options.kind) {
        case Options::Kind::demo:
            return durograde::sheets::demo_style();
        case Options::Kind::bench:
            return durograde::sheets::bench_style(static_cast<double>(options.number) * 1e6,
                                                  options.parts);
        case Options::Kind::seed:
        case Options::Kind::none:
            break;
    }
    return durograde::sheets::style_from_seed(options.number);
}

bool write(const Options& options, std::FILE* file) {
    const Style style = style_of(options);
    if (options.output == Options::Output::sheet) {
        return durograde::sheets::write_sheet(style, file);
    }
    const std::string text = options.output == Options::Output::plan
                                 ? durograde::sheets::bench_plan(style)
                                 : durograde::sheets::places_table(style);
    return std::fputs(text.c_str(), file) >= 0 && std::fflush(file) == 0;
}

}  // namespace

int main(int count, char** arguments) {
    Options options;
    if (count < 2 || !read_options(arguments + 1, options)) {
        std::fputs(usage, stderr);
        return exit_usage;
    }
    std::FILE* file = options.file == nullptr ? stdout : std::fopen(options.file, "wb");
    if (file == nullptr) {
        std::perror(options.file);
        return exit_cannot_create;
    }
    const bool written = write(options, file);
    if ((file != stdout && std::fclose(file) != 0) || !written) {
        std::perror("durograde_sheet");
        return exit_io;
    }
    return 0;
}
