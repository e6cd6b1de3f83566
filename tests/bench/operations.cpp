// Floating-point operations and bytes of one cycle in lanes, counted, against what the core can do,
// measured. Run by scripts/bench; results in docs/performance.md.
#include "cases/file/read.hpp"
#include "solver/cylinder/crank_table.hpp"
#include "solver/ensemble/lane_group.hpp"
#include "solver/ensemble/lane_march.hpp"
#include "solver/march/cycle.hpp"
#include "solver/march/cycle_summary.hpp"
#include "solver/march/periodic_iteration.hpp"
#include "solver/network/builder.hpp"

#include <cmath>
#include <cstdio>
#include <ctime>
#include <string>
#include <vector>

#if defined(__x86_64__)
#include <immintrin.h>
#endif

namespace {

using namespace plenair;

struct Counts {
    double arithmetic = 0;  // of the equations: + - * / sqrt
    double executed = 0;  // as the processor's own counters have it: see below
    double other = 0;  // select, compare
    double bytes = 0;
};

// What the fast packs of solver/arithmetic/pack_machine.hpp do; processors count minimum, maximum
// and estimates as operations too, and not an absolute value.
constexpr double division = 9, inverse_root = 11, root = 12;
Counts counts;

/// A pack of two whose lanes are one number: it counts what the laws do with it.
struct Counted {
    using Element = double;
    static constexpr std::size_t width = 2;
    double value = 0;

    Counted() = default;
    Counted(double v) : value(v) {}  // implicit: laws mix numbers and packs
    static Counted load(const double* p) {
        counts.bytes += sizeof(double);
        return {p[0]};
    }
    void store(double* p) const {
        counts.bytes += sizeof(double);
        p[0] = p[1] = value;
    }
    struct Mask {
        bool value;
        friend bool any(Mask m) { return m.value; }
    };
    static Counted done(double v, double executed = 1) {
        counts.arithmetic += 1;
        counts.executed += executed;
        return {v};
    }
    static Counted chosen(double v, double executed) {
        counts.other += 1 - executed;
        counts.executed += executed;
        return {v};
    }
    static Mask compared(bool b) {
        counts.other += 1;
        return {b};
    }
    friend Counted operator+(Counted a, Counted b) { return done(a.value + b.value); }
    friend Counted operator-(Counted a, Counted b) { return done(a.value - b.value); }
    friend Counted operator*(Counted a, Counted b) { return done(a.value * b.value); }
    friend Counted operator/(Counted a, Counted b) { return done(a.value / b.value, division); }
    friend Counted operator-(Counted a) { return {-a.value}; }
    Counted& operator+=(Counted b) { return *this = *this + b; }
    Counted& operator-=(Counted b) { return *this = *this - b; }
    friend Mask operator<(Counted a, Counted b) { return compared(a.value < b.value); }
    friend Mask operator>(Counted a, Counted b) { return compared(a.value > b.value); }
    friend Mask operator>=(Counted a, Counted b) { return compared(a.value >= b.value); }
    friend Counted select(Mask m, Counted a, Counted b) {
        return chosen(m.value ? a.value : b.value, 0);
    }
    friend Counted min(Counted a, Counted b) {
        return chosen(b.value < a.value ? b.value : a.value, 1);
    }
    friend Counted max(Counted a, Counted b) {
        return chosen(a.value < b.value ? b.value : a.value, 1);
    }
    friend Counted abs(Counted a) { return chosen(std::abs(a.value), 0); }
    friend Counted sqrt(Counted a) { return done(std::sqrt(a.value), root); }
    friend Counted reciprocal_sqrt(Counted a) {
        counts.arithmetic += 1;
        return done(1.0 / std::sqrt(a.value), inverse_root);
    }
    friend Counted inverse_fifth_root_guess(Counted a) {
        return chosen(arithmetic::inverse_fifth_root_guess(a.value), 0);
    }
};

double now() {
    return static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
}

#if defined(__x86_64__)
/// Fused multiply-adds a second, two operations each, in sixteen independent chains.
__attribute__((target("avx512f"))) double measured_peak() {
    constexpr int chains = 16;
    constexpr long rounds = 20000000;
    __m512d v[chains];
    for (int i = 0; i < chains; ++i) {
        v[i] = _mm512_set1_pd(1.0 + i);
    }
    const __m512d factor = _mm512_set1_pd(0.999999);
    const __m512d term = _mm512_set1_pd(1e-6);
    const double start = now();
    for (long r = 0; r < rounds; ++r) {
#pragma GCC unroll 16
        for (auto& x : v) {
            x = _mm512_fmadd_pd(x, factor, term);
        }
    }
    const double seconds = now() - start;
    double sum = 0.0;
    for (const auto& x : v) {
        sum += x[0];
    }
    return sum > 0.0 ? 2.0 * 8.0 * chains * static_cast<double>(rounds) / seconds : 0.0;
}
#endif

}  // namespace

int main() {
    const Case c =
        read_case(std::string(PLENAIR_SOURCE_DIR) + "/cases/shipped/hill-climb-four/case.toml", {});
    const OperatingPoint& point = c.points[3];
    std::vector<double> periodic;
    CycleOptions options;
    options.final_state = &periodic;
    (void)solve_point(c.intake, c.engine, point, c.model, options);
    Network n = build_engine(c.intake, c.engine, point, c.model);
    n.crank = make_crank_table(c.engine, point, first_table_step(point));
    const double rate = step_rate_level(1.1 * fastest_rate(n, periodic));
    n.crank = make_crank_table(c.engine, point, 1.0 / rate);
    const auto trapped = trapped_steps(c.engine, point, n.crank);

    const LaneKernels<double> counting{
        "counted", static_cast<int>(Lane<Counted>::width), &lanes::cycle<Counted>};
    const auto table = std::make_shared<const CrankTable>(n.crank);
    LaneGroup<double> counted(n, counting, table, trapped);
    for (int lane = 0; lane < counted.width(); ++lane) {
        counted.write_state(lane, periodic);
    }
    counts = {};
    counted.march(false);
    std::printf(
        "one cycle of one variant, %zu steps: %.2f M operations of the equations (+ - * / sqrt), "
        "%.2f M executed (series of divisions and roots, minimum, maximum), %.2f M choices, "
        "%.1f MB read and written\n",
        n.crank.step.size(),
        1e-6 * counts.arithmetic,
        1e-6 * counts.executed,
        1e-6 * counts.other,
        1e-6 * counts.bytes);

    const auto& kernels = best_lanes<double>(16);
    LaneGroup<double> lanes(n, kernels, table, trapped);
    for (int lane = 0; lane < lanes.width(); ++lane) {
        lanes.write_state(lane, periodic);
    }
    constexpr int repeats = 40;
    const double start = now();
    for (int i = 0; i < repeats; ++i) {
        lanes.march(false);
    }
    const double seconds = (now() - start) / repeats;
    const double speed = counts.arithmetic * lanes.width() / seconds;
    const double executed = counts.executed * lanes.width() / seconds;
    std::printf(
        "%s, %d lanes: %.2f ms a cycle of all, %.1f GFLOP/s of the equations, %.1f "
        "executed, %.1f GB/s\n",
        kernels.name,
        lanes.width(),
        1e3 * seconds,
        1e-9 * speed,
        1e-9 * executed,
        1e-9 * counts.bytes * lanes.width() / seconds);
#if defined(__x86_64__)
    if (__builtin_cpu_supports("avx512f")) {
        const double peak = measured_peak();
        std::printf(
            "peak of fused multiply-adds: %.1f GFLOP/s; the march reaches %.0f %% of it, "
            "by executed operations %.0f %%\n",
            1e-9 * peak,
            100.0 * speed / peak,
            100.0 * executed / peak);
    }
#endif
    return 0;
}
