#pragma once

#include <gtest/gtest.h>

#include <fstream>
#include <iterator>
#include <memory>
#include <string>

#include "fitting/catalogue.hpp"
#include "layout/layout.hpp"

/// Layouts for tests, from examples/ or from a text.
namespace ductledger::test {

[[nodiscard]] inline const fitting::Catalogue& catalogue() {
  return fitting::Catalogue::built_in();
}

[[nodiscard]] inline layout::Layout layout_of_text(const std::string& text) {
  auto layout = layout::read(std::make_shared<const base::SourceText>("test.yaml", text),
                             fitting::Catalogue::built_in());
  EXPECT_TRUE(layout) << (layout ? "" : base::render(layout.error()));
  return layout ? *std::move(layout) : layout::Layout{};
}

[[nodiscard]] inline layout::Layout example_layout(const std::string& name) {
  std::ifstream file(std::string(DUCTLEDGER_SOURCE_DIR) + "/examples/" + name, std::ios::binary);
  EXPECT_TRUE(file) << name;
  return layout_of_text({std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()});
}

}  // namespace ductledger::test
