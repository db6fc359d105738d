#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.hpp"
#include "layout/catalogue_query.hpp"
#include "layout/read_internal.hpp"
#include "units/message.hpp"

namespace ductledger::layout {
namespace {

/// Facts that cannot both hold. Each is one diagnostic at the later of the two places, and names
/// the other.
class Contradictions {
 public:
  explicit Contradictions(Reading& reading)
      : problems_(reading.problems),
        catalogue_(reading.catalogue),
        layout_(reading.layout),
        facts_(reading.layout.facts) {}

  void check() {
    place_and_cap();
    ductless();
    cap_parts();
    fasteners();
    seal();
    gauge();
    concealed();
    transition_duct();
    lowest_and_highest();
    sound();
  }

 private:
  void say(const base::Span& first,
           const base::Span& second,
           std::string message,
           std::string help) {
    const bool in_order = first.offset <= second.offset;
    auto& d = problems_.error(in_order ? second : first, "contradicting-facts", std::move(message));
    d.label = "contradicts";
    d.others.push_back({in_order ? first : second, "this"});
    d.help = std::move(help);
  }

  [[nodiscard]] const Piece* cap() const {
    const auto& pieces = layout_.run.pieces;
    const auto found = std::find_if(pieces.rbegin(), pieces.rend(), [](const Piece& piece) {
      return piece.kind == PieceKind::cap;
    });
    return found == pieces.rend() ? nullptr : &*found;
  }

  void place_and_cap() {
    const StatedFact* place = facts_.find("run.termination.place");
    if (place == nullptr) {
      return;
    }
    const std::string& word = place->word();
    if (layout_.run.discharge == Discharge::room && word != "inside") {
      problems_
          .error(place->span,
                 "contradicting-facts",
                 fmt::format("the run ends at `{}`, but `discharge` says `room`", word))
          .help = "take `discharge: room` out, or state `place: inside`";
      return;
    }
    const Piece* last = cap();
    if (last == nullptr) {
      return;
    }
    const fitting::Traits traits = traits_of(*last, catalogue_);
    const auto only = traits.outlet ? traits.outlet->only() : std::nullopt;
    if (only && word != fitting::word(*only)) {
      const bool stated = last->states("type");
      say(last->span,
          place->span,
          fmt::format("the run ends at `{}`, but its cap is {}`{}`",
                      word,
                      stated ? "" : "by its heading taken as ",
                      last->type),
          stated ? fmt::format("a `{}` ends at `{}`: keep the one that is true",
                               last->type,
                               fitting::word(*only))
                 : "state the cap's `type`");
    }
  }

  void ductless() {
    const StatedFact* ductless = facts_.find("appliance.ductless");
    if (ductless == nullptr) {
      return;
    }
    const Piece* last = cap();
    const bool to_room = layout_.run.discharge == Discharge::room;
    // A condensing dryer has no duct to speak of; its run is not asked for.
    if (ductless->yes && !to_room && facts_.find("run.termination.place") == nullptr) {
      if (last != nullptr) {
        say(ductless->span,
            last->span,
            "a ductless appliance returns its air to the room, but this run ends in a cap outdoors",
            "state `discharge: room` at the run, or take `ductless` out");
      } else {
        problems_
            .error(ductless->span,
                   "contradicting-facts",
                   "a ductless appliance returns its air to the room, but the run goes outdoors")
            .help = "state `discharge: room` at the run, or take `ductless` out";
      }
    } else if (!ductless->yes && to_room) {
      problems_
          .error(ductless->span,
                 "contradicting-facts",
                 "`ductless` says no, but `discharge` says `room`")
          .help = "keep the one that is true";
    }
  }

  void cap_parts() {
    const Piece* last = cap();
    const StatedFact* damper = facts_.find("run.termination.damper");
    if (last != nullptr && damper != nullptr && !damper->yes &&
        traits_of(*last, catalogue_).shuts_by_itself()) {
      say(last->span,
          damper->span,
          fmt::format("the cap is stated to have no damper, but a `{}` has a flap", last->type),
          "take another type of cap, or take `damper: no` out");
    }
    const StatedFact* screen = facts_.find("run.termination.screen");
    const auto& pieces = layout_.run.pieces;
    const auto mesh = std::find_if(pieces.begin(), pieces.end(), [](const Piece& piece) {
      return piece.kind == PieceKind::screen;
    });
    const StatedFact* opening = facts_.find("run.termination.screen_opening");
    if (screen != nullptr && !screen->yes) {
      if (mesh != pieces.end()) {
        say(mesh->span,
            screen->span,
            "the outlet is stated to have no screen, but the run holds one",
            "take the `screen` piece out, or take `screen: no` out");
      } else if (opening != nullptr && cap_is_open()) {
        say(screen->span,
            opening->span,
            "the outlet is stated to have no screen, but a mesh is stated for it",
            "keep the one that is true");
      }
    }
  }
  /// A louver or grille has an opening size without a screen.
  [[nodiscard]] bool cap_is_open() const {
    const Piece* last = cap();
    return last == nullptr || (!traits_of(*last, catalogue_).is_open_work());
  }

  void fasteners() {
    const StatedFact* fasteners = facts_.find("run.construction.fasteners");
    if (fasteners == nullptr || fasteners->word() != "none") {
      return;
    }
    for (const char* path :
         {"run.construction.fasteners_per_joint", "run.construction.fastener_reach"}) {
      const StatedFact* other = facts_.find(path);
      if (other != nullptr && other->value_si > 0.0) {
        say(fasteners->span,
            other->span,
            "joints are stated to have no fasteners, and fasteners are stated",
            "name the kind of fastener, or take the other key out");
        return;
      }
    }
  }

  void seal() {
    const StatedFact* seal = facts_.find("run.construction.seal");
    if (seal == nullptr) {
      return;
    }
    const StatedFact* tape = facts_.find("run.construction.tape");
    const StatedFact* airtight = facts_.find("run.construction.airtight");
    if (tape != nullptr && seal->word() != "tape") {
      say(seal->span,
          tape->span,
          fmt::format("joints are sealed by `{}`, and a kind of tape is stated", seal->word()),
          "state `seal: tape`, or take `tape` out");
    } else if (airtight != nullptr && airtight->yes && seal->word() == "none") {
      say(seal->span,
          airtight->span,
          "joints without a seal are stated to be airtight",
          "state how they are sealed");
    }
  }

  void gauge() {
    const StatedFact* gauge = facts_.find("run.construction.gauge");
    const StatedFact* thickness = facts_.find("run.construction.thickness");
    if (gauge == nullptr || thickness == nullptr) {
      return;
    }
    const auto sheet_m = sheet_thickness_m(static_cast<int>(gauge->value_si));
    constexpr double kSheetTolerance = 0.25;  // tables differ by coating and rounding
    if (sheet_m && std::abs(thickness->value_si / *sheet_m - 1.0) > kSheetTolerance) {
      say(gauge->span,
          thickness->span,
          fmt::format("{:.0f} gauge is about {:.3g} in, and the thickness is stated as {:.3g} in",
                      gauge->value_si,
                      *sheet_m / units::kMetresPerInch,
                      thickness->value_si / units::kMetresPerInch),
          "keep the one that was measured");
    }
  }

  void concealed() {
    const StatedFact* concealed = facts_.find("run.concealed");
    if (concealed == nullptr || concealed->yes) {
      return;
    }
    for (const Piece& piece : layout_.run.pieces) {
      if (piece.around().through == "stud-bay" || piece.around().through == "joist-bay" ||
          piece.around().through == "chase") {
        say(piece.span,
            concealed->span,
            fmt::format("the run is stated to be open to view, but passes through a {}",
                        piece.around().through),
            "state `concealed: yes`, or take `through` out");
        return;
      }
    }
  }

  void transition_duct() {
    const StatedFact* stated = facts_.find("run.transition_duct.length");
    const auto& pieces = layout_.run.pieces;
    if (stated == nullptr || layout_.appliance.kind != ApplianceKind::clothes_dryer ||
        pieces.empty() || pieces.front().kind != PieceKind::flex || !pieces.front().length_m) {
      return;
    }
    constexpr double kSameLengthM = 0.03;
    if (std::abs(*pieces.front().length_m - stated->value_si) > kSameLengthM) {
      say(pieces.front().span,
          stated->span,
          fmt::format("the transition duct is stated as {:.3g} ft, and the run begins with {:.3g} "
                      "ft of flexible duct",
                      stated->value_si / units::kMetresPerFoot,
                      *pieces.front().length_m / units::kMetresPerFoot),
          "a flexible duct at the dryer is the transition duct: state one length");
    }
  }

  void lowest_and_highest() {
    struct Pair {
      const char* low;
      const char* high;
    };
    static constexpr std::array<Pair, 2> kPairs{
        {{"appliance.cover.shortest", "appliance.cover.longest"},
         {"appliance.maker.hood_height_least", "appliance.maker.hood_height_greatest"}}};
    for (const Pair& pair : kPairs) {
      const StatedFact* low = facts_.find(pair.low);
      const StatedFact* high = facts_.find(pair.high);
      if (low != nullptr && high != nullptr && low->value_si > high->value_si) {
        say(low->span,
            high->span,
            fmt::format("`{}` is more than `{}`", pair.low, pair.high),
            "exchange the two values");
      }
    }
  }

  void sound() {
    const StatedFact* at = facts_.find("appliance.sound.at");
    if (at != nullptr && facts_.find("appliance.sound.sones") == nullptr) {
      problems_
          .error(at->span,
                 "missing-key",
                 "`sound` states at which airflow, and not how loud the appliance is")
          .help = "add `sones: 1.5`";
    }
  }

  yaml::Problems& problems_;
  const fitting::Catalogue& catalogue_;
  const Layout& layout_;
  const Facts& facts_;
};

}  // namespace

void check_facts(Reading& reading) {
  // What could not be read is said already; a half-read file contradicts itself by accident.
  if (!reading.problems.has_error() && !reading.layout.facts.empty()) {
    Contradictions(reading).check();
  }
}

}  // namespace ductledger::layout
