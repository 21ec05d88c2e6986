#include "text/line_source.hpp"

#include <rapidcheck.h>
#include <sys/socket.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <string>
#include <thread>
#include <vector>

#include "random.hpp"
#include "sample_plan.hpp"
#include "text/diagnostic.hpp"
#include "text/program_input.hpp"

namespace durograde {
namespace {

struct Kept {
    std::string text, ending;
    std::uint64_t offset = 0, number = 0;
    friend bool operator==(const Kept&, const Kept&) = default;
};

std::vector<Kept> all_lines(LineSource& source) {
    std::vector<Kept> lines;
    RawLine line;
    while (source.next(line)) {
        lines.push_back(
            {std::string(line.text), std::string(line.ending), line.offset, line.number});
    }
    return lines;
}

std::vector<Kept> lines_of(const std::string& text) {
    ProgramInput input = ProgramInput::from_text(text, "pads.gcode");
    LineSource source = input.first_reading();
    return all_lines(source);
}

/// A stream that another thread writes `text` into. A packet socket: every read gives one of the
/// random pieces, however fast the reader is.
class Pipe {
  public:
    Pipe(const std::string& text, std::uint64_t seed, int longest = 5000) {
        REQUIRE(::socketpair(AF_UNIX, SOCK_SEQPACKET | SOCK_CLOEXEC, 0, ends_) == 0);
        writer_ = std::thread([this, text, seed, longest] {
            sheets::Random random(seed);
            for (std::size_t at = 0; at < text.size();) {
                const auto size =
                    static_cast<std::size_t>(random.between(1, random.between(1, longest)));
                const auto piece = std::string_view(text).substr(at, size);
                // A reader that gave up is no reason to die.
                if (::send(ends_[1], piece.data(), piece.size(), MSG_NOSIGNAL) < 0) break;
                at += piece.size();
            }
            ::close(ends_[1]);
        });
    }
    Pipe(const Pipe&) = delete;
    Pipe& operator=(const Pipe&) = delete;
    ~Pipe() {
        ::close(ends_[0]);
        writer_.join();
    }
    [[nodiscard]] int fd() const { return ends_[0]; }

  private:
    int ends_[2] = {-1, -1};
    std::thread writer_;
};

std::string random_text(sheets::Random& random) {
    const std::vector<std::string> ends = {"\n", "\r\n", "\r\r\n", "\n\n", "\r", ""};
    std::string text;
    const int lines = random.between(0, 200);
    for (int i = 0; i < lines; ++i) {
        text.append(static_cast<std::size_t>(random.between(0, random.between(0, 3000))), 'x');
        text += ends[static_cast<std::size_t>(random.between(0, 5))];
    }
    return text;
}

}  // namespace

TEST_CASE("lines end with LF, with any CRs before it, or with the file", "[text]") {
    const std::vector<Kept> expected = {{"G1", "\n", 0, 1},    {"", "\n", 3, 2},
                                        {"G2", "\r\n", 4, 3},  {"G3", "\r\r\n", 8, 4},
                                        {"a\rb", "\n", 13, 5}, {"end", "", 17, 6}};
    CHECK(lines_of("G1\n\nG2\r\nG3\r\r\na\rb\nend") == expected);
    // RS274/NGC (NISTIR 6556, 3.3): a line ends with CR, LF or both. The last one may end with CR
    // alone.
    CHECK(lines_of("G1\r") == std::vector<Kept>{{"G1", "\r", 0, 1}});
    CHECK(lines_of("").empty());
    CHECK(lines_of("\n").size() == 1);
    const std::string zero("a\0b\nc", 5);
    REQUIRE(lines_of(zero).size() == 2);
    CHECK(lines_of(zero)[0].text == std::string("a\0b", 3));
}

TEST_CASE("texts and endings put together are the input, at their offsets", "[text]") {
    REQUIRE(rc::check("nothing lost", [](std::uint64_t seed) {
        sheets::Random random(seed);
        const std::string text = random_text(random);
        std::string joined;
        std::uint64_t number = 0;
        for (const Kept& line : lines_of(text)) {
            RC_ASSERT(line.offset == joined.size());
            RC_ASSERT(line.number == ++number);
            RC_ASSERT(line.text.find('\n') == std::string::npos);
            joined += line.text + line.ending;
        }
        RC_ASSERT(joined == text);
    }));
}

TEST_CASE("it does not matter in which pieces a pipe gives its bytes", "[text]") {
    REQUIRE(rc::check("pieces", [](std::uint64_t seed) {
        sheets::Random random(seed);
        const bool tiny = random.chance(50);
        std::string text = tiny ? "" : random_text(random);
        // Lines of a few bytes in pieces of a few bytes: every place of a line is a boundary once.
        for (int i = 0; tiny && i < 150; ++i) {
            text += std::string(static_cast<std::size_t>(random.between(0, 4)), 'x');
            text += random.chance(50) ? "\r\n" : "\n";
        }
        const Pipe pipe(text, seed + 1, tiny ? 4 : 5000);
        LineSource source(pipe.fd(), "pipe");
        RC_ASSERT(all_lines(source) == lines_of(text));
    }));
}

TEST_CASE("a copy takes every byte that is read", "[text]") {
    class Text final : public Sink {
      public:
        void write(std::string_view bytes) override { text += bytes; }
        std::string text;
    };
    sheets::Random random(7);
    const std::string text = random_text(random);
    const Pipe pipe(text, 3);
    Text copy;
    LineSource source(pipe.fd(), "pipe", &copy);
    all_lines(source);
    CHECK(copy.text == text);
}

TEST_CASE("what is kept stays readable by its offset", "[text]") {
    REQUIRE(rc::check("keep_from", [](std::uint64_t seed) {
        sheets::Random random(seed);
        std::string text;
        for (int i = 0; i < 40; ++i) text += random_text(random);
        const Pipe pipe(text, seed + 1);
        LineSource source(pipe.fd(), "pipe");
        RawLine line;
        std::uint64_t kept = 0;
        while (source.next(line)) {
            if (random.chance(2)) kept = line.offset;
            source.keep_from(kept);
            const auto count = static_cast<std::size_t>(line.end_offset() - kept);
            if (random.chance(5)) {
                const bool same =
                    source.bytes(kept, count) == std::string_view(text).substr(kept, count);
                RC_ASSERT(same);
            }
        }
    }));
}

TEST_CASE("a line may have 1 MiB, its end included, and no byte more", "[text]") {
    const std::string longest = std::string(line_length_limit - 1, 'x') + "\n";
    CHECK(lines_of("G1\n" + longest + "G2\n").size() == 3);
    for (const std::string& text :
         {"G1\nx" + longest + "G2\n", "G1\nx" + longest.substr(0, longest.size() - 1) + "y",
          "G1\n" + std::string(3 * line_length_limit, 'x')}) {
        try {
            lines_of(text);
            FAIL("accepted");
        } catch (const Failure& failure) {
            CHECK(failure.exit() == Exit::bad_input);
            CHECK(failure.diagnostics().front().code == "line-too-long");
            CHECK(failure.diagnostics().front().place.line == 2);
            CHECK(failure.diagnostics().front().place.file == "pads.gcode");
        }
    }
}

TEST_CASE("a failed read is told", "[text]") {
    LineSource source(-1, "pads.gcode");
    RawLine line;
    try {
        source.next(line);
        FAIL("read from nowhere");
    } catch (const Failure& failure) {
        CHECK(failure.exit() == Exit::io_error);
        CHECK(failure.diagnostics().front().place.file == "pads.gcode");
    }
}

TEST_CASE("an input is read twice, from a file and from a pipe", "[text]") {
    const std::string text = "G1\nG2\r\nG3";
    int ends[2] = {-1, -1};
    REQUIRE(::pipe(ends) == 0);
    const File reader(ends[0]);
    {
        const File writer(ends[1]);
        write_all(writer.fd(), text, "pipe");
    }
    const auto read_twice = [&](ProgramInput input) {
        LineSource first = input.first_reading();
        CHECK(all_lines(first) == lines_of(text));
        LineSource second = input.second_reading();
        CHECK(all_lines(second) == lines_of(text));
        input.check_unchanged();
    };
    read_twice(ProgramInput::from_text(text, "pads.gcode"));
    read_twice(ProgramInput::open("/dev/fd/" + std::to_string(reader.fd())));
}

TEST_CASE("an input that grows while it is read is refused", "[text]") {
    const plan_test::Folder folder;
    const std::string path = folder.write("pads.gcode", "G1\n");
    const ProgramInput input = ProgramInput::open(path);
    input.check_unchanged();
    folder.write("pads.gcode", "G1\nG2\n");
    try {
        input.check_unchanged();
        FAIL("not noticed");
    } catch (const Failure& failure) {
        CHECK(failure.exit() == Exit::io_error);
        CHECK(failure.diagnostics().front().code == "input-changed");
    }
}

TEST_CASE("an input that cannot be read is told", "[text]") {
    const plan_test::Folder folder;
    for (const std::string& path : {folder.path().string(), (folder.path() / "none").string()}) {
        try {
            ProgramInput::open(path);
            FAIL("opened");
        } catch (const Failure& failure) {
            CHECK(failure.exit() == Exit::no_input);
            CHECK(failure.diagnostics().front().place.file == path);
        }
    }
}

}  // namespace durograde
