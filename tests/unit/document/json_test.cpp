#include <gtest/gtest.h>

#include <limits>
#include <nlohmann/json.hpp>

#include "document/check.hpp"
#include "support/invented_result.hpp"

namespace ductledger::document {
namespace {

using Json = nlohmann::ordered_json;
using test::finding;
using test::invented_result;

const document::Record kRecord{"0.0.0", "fail"};

document::Json document_of(const study::CheckResult& result) {
  return document::check_document(test::settled(result), kRecord);
}

TEST(CheckDocument, holds_every_name_that_others_rely_on) {
  study::CheckResult result = invented_result();
  result.findings = {document::finding(findings::Level::warn, "x")};
  const document::Json document = document_of(result);
  EXPECT_EQ("ductledger.check/1", document.at("format"));
  for (const char* path : {"/layout/title",
                           "/layout/file",
                           "/layout/sha256",
                           "/air/density_kg_m3",
                           "/air/viscosity_pa_s",
                           "/speeds/0/name",
                           "/speeds/0/locked_out",
                           "/speeds/0/rated_airflow_m3_s",
                           "/speeds/0/share_of_rated",
                           "/speeds/0/operating_point/status",
                           "/speeds/0/operating_point/stable",
                           "/speeds/0/operating_point/airflow_m3_s",
                           "/speeds/0/operating_point/airflow_standard_m3_s",
                           "/speeds/0/operating_point/static_pressure_pa",
                           "/speeds/0/operating_point/total_pressure_pa",
                           "/speeds/0/operating_point/collar_static_pressure_pa",
                           "/speeds/0/operating_point/airflow_band_m3_s",
                           "/speeds/0/operating_point/crossings",
                           "/speeds/0/ledger/1/number",
                           "/speeds/0/ledger/1/piece",
                           "/speeds/0/ledger/1/type",
                           "/speeds/0/ledger/1/section",
                           "/speeds/0/ledger/1/length_m",
                           "/speeds/0/ledger/1/velocity_m_s",
                           "/speeds/0/ledger/1/velocity_pressure_pa",
                           "/speeds/0/ledger/1/friction_factor",
                           "/speeds/0/ledger/1/coefficient",
                           "/speeds/0/ledger/1/loss_pa",
                           "/speeds/0/ledger/1/share",
                           "/speeds/0/ledger/1/total_pressure_after_pa",
                           "/speeds/0/ledger/1/static_pressure_after_pa",
                           "/speeds/0/ledger/1/line",
                           "/speeds/0/ledger/1/column",
                           "/findings/0/level",
                           "/findings/0/code",
                           "/findings/0/message",
                           "/findings/0/observed/airflow_m3_s",
                           "/findings/0/limit",
                           "/findings/0/rule/id",
                           "/findings/0/rule/citation",
                           "/findings/0/line",
                           "/findings/0/column",
                           "/findings/0/remedy",
                           "/cautions/0"}) {
    EXPECT_TRUE(document.contains(document::Json::json_pointer(path))) << path;
  }
}

TEST(CheckDocument, takes_the_figures_from_the_result) {
  const document::Json speed = document_of(invented_result()).at("speeds").at(0);
  const document::Json& point = speed.at("operating_point");
  EXPECT_DOUBLE_EQ(0.8, speed.at("share_of_rated").get<double>());
  EXPECT_DOUBLE_EQ(0.2, point.at("airflow_m3_s").get<double>());
  EXPECT_DOUBLE_EQ(0.2, point.at("airflow_standard_m3_s").get<double>());
  // 50 Pa less 500 Pa s2/m6 x (0.2 m3/s)^2
  EXPECT_DOUBLE_EQ(30.0, point.at("static_pressure_pa").get<double>());
  EXPECT_EQ(document::Json::array({0.18, 0.22}), point.at("airflow_band_m3_s"));
}

TEST(CheckDocument, gives_bounds_zero_and_null_by_status) {
  study::CheckResult result = invented_result();
  const auto point = [&](solve::Status status) {
    result.speeds.front().point.status = status;
    return document_of(result).at("speeds").at(0).at("operating_point");
  };
  EXPECT_EQ("at-least", point(solve::Status::beyond_curve).at("bound"));
  EXPECT_EQ("at-most", point(solve::Status::below_curve).at("bound"));
  EXPECT_EQ(0.2, point(solve::Status::below_curve).at("airflow_m3_s"));
  EXPECT_EQ(0.0, point(solve::Status::no_flow).at("airflow_m3_s"));
  EXPECT_TRUE(point(solve::Status::not_determined).at("airflow_m3_s").is_null());
  EXPECT_TRUE(point(solve::Status::not_determined).at("total_pressure_pa").is_null());
}

TEST(CheckDocument, has_null_where_a_number_is_none) {
  study::CheckResult result = invented_result();
  result.run.air.viscosity_pa_s = std::numeric_limits<double>::quiet_NaN();
  result.run.air.wind_pa = std::numeric_limits<double>::infinity();
  const std::string text = document::to_text(document_of(result));
  EXPECT_EQ(std::string::npos, text.find("nan"));
  EXPECT_EQ(std::string::npos, text.find("inf"));
  EXPECT_TRUE(document::Json::parse(text).at("air").at("viscosity_pa_s").is_null());
}

TEST(CheckDocument, replaces_bytes_that_are_no_text) {
  study::CheckResult result = invented_result();
  result.layout.file = "kitchen\xff.yaml";
  EXPECT_TRUE(document::Json::accept(document::to_text(document_of(result))));
}

TEST(ErrorDocument, tells_place_and_help) {
  base::Diagnostic fault;
  fault.rule = "unknown-key";
  fault.message = "no key is named `colar`";
  fault.source = std::make_shared<base::SourceText>("kitchen.yaml", "colar: 8 in\n");
  fault.span = {1, 1, 5, 0};
  fault.help = "did you mean `collar`?";
  const document::Json document = document::error_document({fault}, kRecord);
  EXPECT_EQ("ductledger.error/1", document.at("format"));
  const document::Json& one = document.at("diagnostics").at(0);
  EXPECT_EQ("error", one.at("severity"));
  EXPECT_EQ("kitchen.yaml", one.at("file"));
  EXPECT_EQ(5, one.at("place").at("length"));
  EXPECT_EQ(0, one.at("place").at("byte_offset"));
}

}  // namespace
}  // namespace ductledger::document
