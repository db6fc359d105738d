#include "study/size.hpp"

#include <array>
#include <memory>
#include <string>

#include "published/printed.hpp"

/// Round and rectangular duct of equal friction deliver the same air: `size` on a run of straight
/// duct alone, where nothing but friction differs.
namespace ductledger::published {
namespace {

constexpr Source kGuide{"Heating Ventilating Air Conditioning Guide, ASHAE, 1956",
                        "chapter 32, Table 1 (after Huebscher, ASHVE Transactions 54, 1948)",
                        "seen"};

struct Row {
  double width_in;
  double height_in;
  double printed_in;  ///< circular equivalent, to 0.1 in
  bool is_off_by_one = false;
};

// Nodes marked stand one unit of the last digit off in the print, see equivalents_test.cpp.
constexpr std::array kRows = std::to_array<Row>({{12, 3, 6.2},
                                                 {16, 3, 7.0},
                                                 {10, 4, 6.8, true},
                                                 {12, 4, 7.3},
                                                 {8, 6, 7.5, true},
                                                 {10, 6, 8.4},
                                                 {12, 6, 9.1},
                                                 {8, 8, 8.8, true},
                                                 {10, 8, 9.8},
                                                 {12, 8, 10.7},
                                                 {10, 10, 10.9},
                                                 {12, 12, 13.1}});

// Invented fan. A stated discharge grille of no loss ends the run, and the joint at the collar is
// stated free of loss, so that friction is all there is.
constexpr const char* kLayout = R"(layout: 1
appliance: {kind: exhaust, collar: COLLAR}
fan:
  curve_pressure: total
  speeds: [{name: high, curve: {airflow: 0 300 600 900 1200 1500 cfm, pressure: 1.5 1.4 1.2 0.9 0.5 0 inH2O}}]
run:
  material: galvanized-steel
  pieces:
    - straight: 200 ft
    - cap: {coefficient: 0}
)";

double delivered(const duct::Section& section) {
  std::string text = kLayout;
  text.replace(text.find("COLLAR"), 6, edit::section_value(section));
  const fitting::Catalogue& catalogue = fitting::Catalogue::built_in();
  auto layout = layout::read(std::make_shared<base::SourceText>("row.yaml", text), catalogue);
  EXPECT_TRUE(layout) << (layout ? "" : base::render(layout.error()));
  study::SizeOptions options;
  options.deliver_m3_s = 100.0 * units::kM3SPerCfm;
  options.more_sizes = {section};
  const auto result = study::size(*std::move(layout), catalogue, options);
  EXPECT_TRUE(result) << (result ? "" : base::render(result.error()));
  for (const study::TriedSize& size : result->tried) {
    if (size.section == section) {
      EXPECT_EQ(size.airflow_m3_s, result->drawn.airflow_m3_s);
      return size.airflow_m3_s;
    }
  }
  ADD_FAILURE() << "the size was not tried";
  return 0.0;
}

TEST(PublishedSizes, RectangularDuctAndItsCircularEquivalentDeliverTheSame) {
  for (const Row& row : kRows) {
    const double slack_in = row.is_off_by_one ? 0.1 : 0.05;
    const double ours = delivered(
        duct::Section::rectangular(units::inches(row.width_in), units::inches(row.height_in)));
    const double low = delivered(duct::Section::round(units::inches(row.printed_in - slack_in)));
    const double high = delivered(duct::Section::round(units::inches(row.printed_in + slack_in)));
    EXPECT_TRUE(agrees(ours / units::kM3SPerCfm,
                       {(low + high) / 2.0 / units::kM3SPerCfm,
                        (high - low) / 2.0 / units::kM3SPerCfm,
                        "airflows of the round ducts half a printed digit smaller and larger"},
                       kGuide))
        << row.width_in << " x " << row.height_in;
  }
}

}  // namespace
}  // namespace ductledger::published
