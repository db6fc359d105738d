#pragma once

#include <gtest/gtest.h>

#include <memory>
#include <string>

#include "fitting/catalogue.hpp"
#include "layout/layout.hpp"
#include "study/check.hpp"

/// From a layout's text to a result, for tests.
namespace ductledger::support {

inline base::SourcePtr source_of(std::string text) {
  return std::make_shared<const base::SourceText>("test.yaml", std::move(text));
}

inline base::Checked<layout::Layout> read(std::string text) {
  return layout::read(source_of(std::move(text)), fitting::Catalogue::built_in());
}

/// The layout's result; a text that cannot be read fails the test and says why.
inline study::CheckResult check(const std::string& text) {
  auto layout = read(text);
  if (!layout) {
    throw std::runtime_error(base::render(layout.error()) + text);
  }
  auto result = study::check(*std::move(layout), fitting::Catalogue::built_in());
  if (!result) {
    throw std::runtime_error(base::render(result.error()) + text);
  }
  return *std::move(result);
}

}  // namespace ductledger::support
