#include "text/stream.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <catch2/catch.hpp>

#include "sample_plan.hpp"
#include "text/diagnostic.hpp"

/// Only whole lines leave a stream, whatever chunks they come in.
namespace durograde {
namespace {

using plan_test::Folder;

class TextSink final : public Sink {
  public:
    void write(std::string_view bytes) override { text.append(bytes); }
    std::string text;
};

/// A named pipe whose reading end is open already.
class Pipe {
  public:
    Pipe() : path_(folder_.path() / "pipe") {
        REQUIRE(::mkfifo(path_.c_str(), 0600) == 0);
        reader_ = File(::open(path_.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC));
        REQUIRE(reader_.is_open());
    }
    [[nodiscard]] const std::string& path() const { return path_; }
    std::string arrived() {
        std::array<char, 4096> bytes{};
        const ssize_t count = ::read(reader_.fd(), bytes.data(), bytes.size());
        return {bytes.data(), static_cast<std::size_t>(std::max<ssize_t>(count, 0))};
    }

  private:
    Folder folder_;
    std::string path_;
    File reader_;
};

}  // namespace

TEST_CASE("a stream lets whole lines leave and keeps a copy", "[text]") {
    Pipe pipe;
    TextSink copy;
    Stream stream(pipe.path(), copy);
    stream.write("G1 X1\nG1 X");
    CHECK(pipe.arrived() == "G1 X1\n");
    stream.write("2");
    CHECK(pipe.arrived().empty());
    stream.write("3\n");
    CHECK(pipe.arrived().empty());
    stream.write("\n");
    CHECK(pipe.arrived() == "G1 X23\n");
    stream.write("");
    CHECK(pipe.arrived().empty());
    stream.write("M106\nM107");
    CHECK(pipe.arrived() == "\nM106\n");
    stream.finish();
    CHECK(pipe.arrived() == "M107");
    CHECK(copy.text == "G1 X1\nG1 X23\n\nM106\nM107");
}

TEST_CASE("an abandoned stream does not say by its last line that it is complete", "[text]") {
    for (const bool finishes : {false, true}) {
        Pipe pipe;
        TextSink copy;
        Stream stream(pipe.path(), copy);
        stream.write("G1 X1\n");
        stream.write("; complete\n");
        if (finishes) stream.finish();
        stream.abandon("; incomplete\n");
        CHECK(pipe.arrived() == (finishes ? "G1 X1\n; complete\n" : "G1 X1\n; incomplete\n"));
    }
}

TEST_CASE("an abandoned stream ends with its last lines, not with a line that was cut", "[text]") {
    Pipe pipe;
    TextSink copy;
    Stream stream(pipe.path(), copy);
    stream.write("G1 X1\nG1 X12");
    stream.abandon("; incomplete\nM104 T0 S0\n");
    CHECK(pipe.arrived() == "G1 X1\n; incomplete\nM104 T0 S0\n");
}

TEST_CASE("a stream that has not begun is abandoned in silence", "[text]") {
    Pipe pipe;
    TextSink copy;
    Stream stream(pipe.path(), copy);
    stream.abandon("; incomplete\n");
    CHECK(pipe.arrived().empty());
}

TEST_CASE("a stream to a file is refused", "[text]") {
    const Folder folder;
    TextSink copy;
    try {
        Stream stream(folder.path() / "graded.gcode", copy);
        FAIL("accepted");
    } catch (const Failure& failure) {
        CHECK(failure.exit() == Exit::usage);
        CHECK(failure.diagnostics().front().code == "stream-to-file");
    }
}

}  // namespace durograde
