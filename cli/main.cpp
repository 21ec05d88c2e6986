#include <cstdio>
#include "grade/grade.hpp"
#include "plan/load.hpp"
#include "text/release.hpp"
int main(int argc, char** argv) {
    using namespace durograde;
    try {
        auto plan = plan::load(argv[1]);
        auto in = ProgramInput::open(argv[2]);
        Release out(argc > 3 ? argv[3] : "-");
        auto f = grade::grade(in, plan, out.sink());
        out.release();
        std::fprintf(stderr, "before %.0f after %.0f swaps %ld fewest %ld wait %.1f cuts %ld prot %ld\n", f.before_s, f.after_s, f.swaps, f.fewest_swaps, f.waiting_s, f.cuts, f.protected_travels);
    } catch (const Failure& f) { std::fputs(f.what(), stderr); return static_cast<int>(f.exit()); }
}
