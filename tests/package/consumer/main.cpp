#include <cstdio>
#include <fstream>
#include <iterator>
#include <memory>
#include <string>

#include "layout/layout.hpp"
#include "study/check.hpp"
#include "text/check.hpp"

// Somebody else's program: reads a layout, calculates it, prints the answer.
int main(int argc, char** argv) {
  if (argc != 2) {
    return 2;
  }
  std::ifstream file(argv[1]);
  const auto source = std::make_shared<const ductledger::base::SourceText>(
      argv[1], std::string(std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()));
  const auto& catalogue = ductledger::fitting::Catalogue::built_in();
  auto layout = ductledger::layout::read(source, catalogue);
  if (!layout) {
    return 2;
  }
  const auto result = ductledger::study::check(std::move(layout).value(), catalogue);
  if (!result || !result->headline) {
    return 2;
  }
  std::puts(ductledger::text::check_text(*result).c_str());
  return result->speeds[*result->headline].point.airflow_m3_s > 0.0 ? 0 : 1;
}
