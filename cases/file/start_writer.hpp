#pragma once

#include "cases/file/start_rules.hpp"
#include "cases/file/start_sections.hpp"
#include "cases/file/toml_write.hpp"

#include <numbers>
#include <string>
#include <utility>
#include <vector>

#include <fmt/format.h>

namespace plenair::file {

/// Basis of what everybody does so.
inline const Basis practice{"common practice"};

inline constexpr double millimetre = 1e-3;

/// Area of a circle.
[[nodiscard]] inline double disc(double diameter) {
    return std::numbers::pi / 4 * diameter * diameter;
}

/// Writes the sections one after the other; each needs numbers of those before it.
class StartWriter final {
public:
    StartWriter(const StartRequest& request, const StartPlan& plan, const StartLiked& liked)
        : request_(request), plan_(plan), liked_points_(liked.points) {
        written_.draft = Draft(request.inches);
        draft_.given = plan.given;
        draft_.liked = liked.values;
        draft_.like = request.like;
        find_layout();
        find_air();
        find_metal();
    }

    StartWritten write() {
        head();
        site();
        engine();
        valves();
        for (int bank = 0; bank < written_.banks; ++bank) {
            parts(bank);
        }
        fuel();
        for (const auto& section : draft_.sections_left()) {
            if (section != "point" && !section.empty()) {
                draft_.section("[" + section + "]", "");
                draft_.rest_of(section);
            }
        }
        points();
        answers();
        return std::move(written_);
    }

private:
    struct Metal {
        double mouth = 0, flange = 0, port = 0;  ///< bores of the runner [m]
        double bell_radius = 0, bell_outer = 0, protrusion = 0;
        double length = 0;  ///< of the chambers
        double plenum_area = 0, plenum_height = 0;
        double throttle = 0;  ///< bore
        double column = 0;  ///< mouth to valve
        double port_length = 0;
        bool slot = true;
    };

    void find_layout();
    void find_air();
    void find_metal();
    void find_runner();
    void find_chambers();
    /// Height of the plenum, and a bell that stands in it.
    void find_height();
    void head();
    void site();
    void engine();
    void valves();
    void valve(const std::string& name, const std::string& cd);
    void parts(int bank);
    void throttle();
    void pre_chamber_and_slot();
    void plenum();
    void runner();
    /// Of the bell mouth to the opposite wall [m], such that both fit into the height as written.
    [[nodiscard]] double clearance_over_bell() const;
    void fuel();
    void points();
    void point(std::size_t i);
    void answers();

    /// Number of an entry as it will be written, in SI.
    [[nodiscard]] double known(const std::string& key, double assumed) const;
    [[nodiscard]] bool is_stated(const std::string& key) const {
        return draft_.given.contains(key) || draft_.liked.contains(key);
    }
    [[nodiscard]] std::string header(const std::string& section) const {
        return fmt::format("[{}{}]", written_.banks == 2 ? "bank." : "", section);
    }
    [[nodiscard]] Basis by_piston_speed(const std::string& within) const {
        return {fmt::format("common practice at a mean piston speed of {:.0f} m/s, at most speed",
                            frame_.piston_speed()),
                within};
    }

    const StartRequest& request_;
    const StartPlan& plan_;
    std::vector<TomlValues> liked_points_;
    StartWritten written_;
    Draft& draft_ = written_.draft;
    rules::Frame frame_;
    Metal metal_;
    bool usual_order_ = true;
    std::string order_toml_;
    std::string charge_pressure_;  ///< as in the file, without quotes
    std::vector<std::string> speeds_;
    bool speeds_stated_ = false;
};

}  // namespace plenair::file
