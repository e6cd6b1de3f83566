#pragma once

#include "solver/ensemble/lane_cycle.hpp"
#include "solver/network/builder.hpp"
#include "solver/network/kernel.hpp"

#include <utility>

/// Body of the march for one pack type; included by one source file per instruction set.
namespace plenair::lanes {

/// RungeKutta4 as solver/march/runge_kutta.hpp has it, with the stages' updates inside the kernel.
template <class R>
class March final {
public:
    using T = typename Lane<R>::Element;
    using Stage = typename Kernel<R>::Stage;
    using Part = typename Kernel<R>::Part;

    explicit March(const LaneCycle<T>& c)
        : c_(c),
          layout_(c.network->layout),
          kernel_(*c.network, *c.crank, *c.numbers, *c.work, *c.gnielinski),
          now_(c.state),
          start_(c.start) {}

    void run() {
        const int count = static_cast<int>(c_.crank->steps());
        // Ghosts have no rate: both states must have them.
        std::copy_n(now_, layout_.size() * width, start_);
        kernel_.primitives(now_);
        for (int k = 0; k < count; ++k) {
            note_trapped(k);
            if (c_.flows != nullptr && k % 2 == 0) {
                note_flows(k / 2);
            }
            step(k, length(static_cast<std::size_t>(k)));
            if (k % look_every == 0 || k + 1 == count) {
                kernel_.note_speeds(c_.speed);
            }
        }
        note_trapped(count);
        if (now_ != c_.state) {
            std::copy_n(now_, layout_.size() * width, c_.state);
        }
    }

private:
    static constexpr int width = static_cast<int>(Lane<R>::width);

    [[nodiscard]] static R get(const T* v, int i) {
        return Lane<R>::load(v, static_cast<std::size_t>(i));
    }
    static void put(T* v, int i, R value) { Lane<R>::store(v, static_cast<std::size_t>(i), value); }

    /// Of a step [s].
    [[nodiscard]] R length(std::size_t step) const {
        return c_.crank->is_common() ? R(c_.crank->table().step[step])
                                     : Lane<R>::load(c_.crank->step(step), 0);
    }

    void note_trapped(int step) {
        for (int i = 0; i < layout_.cylinders * width; ++i) {
            if (c_.trapped_steps[i] == step) {
                c_.trapped[i] = now_[layout_.cylinder_fresh() * width + i];
                c_.trapped_mass[i] = now_[layout_.cylinder_mass() * width + i];
            }
        }
    }

    void note_flows(int row) {
        const int cells = 2 * layout_.cells;
        T* to = c_.flows + static_cast<std::ptrdiff_t>(row) * (cells + layout_.passages) * width;
        to = std::copy_n(now_, cells * width, to);
        std::copy_n(now_ + layout_.passage_flow() * width, layout_.passages * width, to);
    }

    void step(int k, R h) {
        // The start of the step stays where it is, and its end becomes the next one's start.
        std::swap(now_, start_);
        const bool goes_on =
            holds_from_before(k, static_cast<int>(c_.crank->steps()), layout_.cylinders);
        stage(2 * k, start_, {Part::first, 0.5 * h}, evaluates_wall_laws(0, goes_on));
        stage(2 * k + 1, now_, {Part::middle, 0.5 * h}, evaluates_wall_laws(1, goes_on));
        stage(2 * k + 1, now_, {Part::middle, h}, evaluates_wall_laws(2, goes_on));
        stage(2 * k + 2, now_, {Part::last, h * (1.0 / 6.0)}, evaluates_wall_laws(3, goes_on));
    }

    void stage(int node, const T* from, const Stage& s, bool wall_laws) {
        kernel_.begin(
            from, c_.rate, node, {.wall_laws = wall_laws, .peaks = s.part == Part::first}, nullptr);
        kernel_.cell_update(now_, start_, c_.sum, c_.rate, s);
        const auto update = [&](int i) {
            put(now_, i, Kernel<R>::advanced(s, i, start_, c_.sum, get(c_.rate, i)));
        };
        if (layout_.jets > 0) {
            for (const Chain& chain : c_.network->chains) {
                for (int i = 0; chain.jet && i + 1 < chain.count; ++i) {
                    update(layout_.jet() + chain.first + i);
                }
            }
        }
        // What passes each passage is for the profile of a single point.
        for (int i = layout_.passage_flow(); i < layout_.passage_mass(); ++i) {
            update(i);
        }
    }

    const LaneCycle<T>& c_;
    const Layout& layout_;
    Kernel<R> kernel_;
    T* now_;
    T* start_;
};

template <class R>
void cycle(const LaneCycle<typename Lane<R>::Element>& c) {
    March<R>(c).run();
}

template <class R>
const LaneKernels<typename Lane<R>::Element>* table(const char* name) {
    static const LaneKernels<typename Lane<R>::Element> kernels{
        name, static_cast<int>(Lane<R>::width), &cycle<R>};
    return &kernels;
}

}  // namespace plenair::lanes
