#include <gtest/gtest.h>

#include <csignal>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "cli/harness.hpp"
#include "cli/rows.hpp"

// `ductledger batch`: a row for every layout, in order, whatever the others do.
namespace ductledger::test {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;

/// The examples and two files that are none, `copies` times over.
std::vector<std::string> many(const Folder& folder, int copies) {
  std::vector<std::string> names;
  for (int i = 0; i < copies; ++i) {
    for (const std::string& example : examples()) {
      const std::string name =
          std::to_string(1000 + i) + "-" + fs::path(example).filename().string();
      const std::string text = Folder::contents(std::string(DUCTLEDGER_SOURCE_DIR) + "/" + example);
      names.push_back(folder.write(name, text));
    }
    names.push_back(folder.write(std::to_string(1000 + i) + "-y.yaml", "layout: 1\nrun: [\n"));
    names.push_back(folder.write(std::to_string(1000 + i) + "-z.yaml", "layout: 1\n"));
  }
  return names;
}

TEST(Batch, says_of_each_layout_what_check_says) {
  const Outcome all = run(with({"batch", "--fail-on", "warn"}, examples()));
  const std::vector<json> table = rows(all.out);
  ASSERT_EQ(table.size(), examples().size());
  for (std::size_t i = 0; i < table.size(); ++i) {
    const std::string name = examples()[i];
    const Outcome one = run({"check", "--json", "--fail-on", "warn", name});
    const json document = json::parse(one.out);
    EXPECT_EQ(table[i]["file"], name);
    EXPECT_EQ(table[i]["status"], one.exit == 1 ? "findings" : "fine") << name;
    EXPECT_EQ(table[i]["sha256"], document["layout"]["sha256"]) << name;
    EXPECT_EQ(table[i]["standing"], document["verdict"]["standing"]) << name;
    std::string codes;
    for (const json& finding : document["findings"]) {
      codes += (codes.empty() ? "" : " ") + finding["code"].get<std::string>();
    }
    EXPECT_EQ(table[i]["findings"], codes) << name;
    for (const json& speed : document["speeds"]) {
      if (speed["name"] == table[i]["speed"]) {
        const json& point = speed["operating_point"];
        EXPECT_EQ(table[i]["point"], point["status"]) << name;
        EXPECT_EQ(table[i]["airflow_m3_s"], point["airflow_m3_s"]) << name;
        EXPECT_EQ(table[i]["static_pressure_pa"], point["static_pressure_pa"]) << name;
        const json& band = point["airflow_band_m3_s"];
        EXPECT_EQ(table[i]["airflow_low_m3_s"], band.is_null() ? json() : band[0]) << name;
      }
    }
  }
  EXPECT_EQ(all.exit, 1);
}

TEST(Batch, writes_the_whole_document_where_asked) {
  const Outcome one = run({"batch", "--columns", "document", examples()[0]});
  EXPECT_EQ(rows(one.out).at(0)["document"],
            json::parse(run({"check", "--json", examples()[0]}).out));
}

TEST(Batch, gives_the_same_bytes_with_one_two_and_seven_threads) {
  const Folder folder;
  const std::vector<std::string> names = many(folder, 3);
  for (const std::string study : {"check", "review", "size"}) {
    for (const std::string format : {"jsonl", "csv", "columns"}) {
      const std::vector<std::string> call{"batch", "--study", study, "--format", format};
      const std::vector<std::string> some =
          study == "size" ? with({"--deliver", "100cfm"}, {names.begin(), names.begin() + 4})
                          : names;
      const Outcome one = run(with(with(call, {"--threads", "1"}), some));
      EXPECT_FALSE(one.out.empty());
      for (const std::string threads : {"2", "7"}) {
        const Outcome other = run(with(with(call, {"--threads", threads}), some));
        EXPECT_EQ(other.out, one.out) << study << ' ' << format << ' ' << threads;
        EXPECT_EQ(other.err, one.err);
        EXPECT_EQ(other.exit, one.exit);
      }
    }
  }
}

TEST(Batch, a_bad_file_is_a_row_that_says_why_and_the_others_go_on) {
  const Folder folder;
  const std::string bad = folder.write("bad.yaml", "layout: 1\nrun:\n  secton: 8 in round\n");
  const std::string missing = folder.path("missing.yaml");
  const Outcome all = run({"batch", bad, examples()[0], missing});
  const std::vector<json> table = rows(all.out);
  ASSERT_EQ(table.size(), 3U);
  EXPECT_EQ(table[0]["status"], "failed");
  EXPECT_EQ(table[0]["fault_line"], 3);
  EXPECT_TRUE(table[0]["airflow_m3_s"].is_null());
  EXPECT_NE(table[1]["status"], "failed");
  EXPECT_EQ(table[2]["fault"], "no-such-file");
  EXPECT_EQ(all.exit, 2);
  EXPECT_NE(all.err.find("2 of 3 layouts could not be calculated"), std::string::npos) << all.err;
}

TEST(Batch, reads_folders_patterns_and_lines) {
  const Folder folder;
  const std::string text = run({"new", "-"}).out;
  fs::create_directory(folder.path("deep"));
  (void)folder.write("b.yaml", text);
  (void)folder.write("a.yaml", text);
  (void)folder.write("deep/c.yml", text);
  (void)folder.write("notes.txt", "no layout");
  const auto files = [](const Outcome& from) {
    std::vector<std::string> out;
    for (const json& row : rows(from.out)) {
      out.push_back(fs::path(row["file"].get<std::string>()).filename().string());
    }
    return out;
  };
  using Names = std::vector<std::string>;
  EXPECT_EQ(files(run({"batch", folder.path("")})), (Names{"a.yaml", "b.yaml", "c.yml"}));
  EXPECT_EQ(files(run({"batch", folder.path("*.yaml")})), (Names{"a.yaml", "b.yaml"}));
  const std::string lines = json(folder.path("b.yaml")).dump() + "\n\n" +
                            json{{"text", text}, {"name", "typed"}}.dump() + "\n" +
                            json{{"path", folder.path("a.yaml")}}.dump() +
                            "\n{\"pth\": \"x\"}\nx\n" + json{{"text", "layout: 1\n"}}.dump();
  const Outcome read = run(Call{{"batch", "-"}, lines});
  EXPECT_EQ(files(read),
            (Names{"b.yaml", "typed", "a.yaml", "<stdin>:5", "<stdin>:6", "<stdin>:7"}));
  const std::vector<json> table = rows(read.out);
  EXPECT_EQ(table[3]["fault"], "bad-line");
  EXPECT_EQ(table[4]["fault"], "bad-line");
  EXPECT_EQ(table[5]["status"], "failed");
  EXPECT_EQ(table[1]["airflow_m3_s"], table[0]["airflow_m3_s"]);
}

TEST(Batch, shards_are_stable_shares_that_make_up_the_whole) {
  const Folder folder;
  const std::vector<std::string> names = many(folder, 3);
  const std::vector<std::string> call{"batch", "--columns", "fault", "--fail-on", "never"};
  std::vector<std::string> all;
  for (const std::string shard : {"1/3", "2/3", "3/3"}) {
    const std::vector<json> share = rows(run(with(with(call, {"--shard", shard}), names)).out);
    EXPECT_FALSE(share.empty());
    for (const json& row : share) {
      all.push_back(row["file"]);
    }
    // Without the last name the share is the same, but for that name.
    const std::vector<json> fewer =
        rows(run(with(with(call, {"--shard", shard}), {names.begin(), names.end() - 1})).out);
    for (std::size_t i = 0; i < fewer.size(); ++i) {
      EXPECT_EQ(fewer[i], share[i]);
    }
  }
  std::sort(all.begin(), all.end());
  EXPECT_EQ(all, names);
}

TEST(Batch, killed_and_resumed_gives_the_same_file) {
  for (const std::string format : {"jsonl", "csv", "columns"}) {
    const Folder folder;
    const Folder layouts;
    const std::vector<std::string> names = many(layouts, 120);
    const std::string out = folder.path("out");
    const std::vector<std::string> call{
        "batch", layouts.path(""), "--format", format, "--threads", "2", "-o", out};
    Call killed{call};
    killed.signal_at_write = SIGKILL;
    killed.watched = folder.path("");
    killed.delay_ms = 450;  // of some seconds; rows are written every 0.3 s
    EXPECT_EQ(run(killed).exit, -1);
    EXPECT_FALSE(fs::exists(out));
    // A last line that was being written when the call ended.
    std::ofstream(out + ".part", std::ios::app | std::ios::binary) << "{\"file\": \"half";
    const Outcome resumed = run(with(call, {"--resume"}));
    const std::string got = Folder::contents(out);
    EXPECT_EQ(folder.names(), std::vector<std::string>{"out"});
    const Outcome whole = run(call);
    EXPECT_EQ(got, Folder::contents(out)) << format;
    EXPECT_EQ(resumed.exit, whole.exit);
    EXPECT_EQ(resumed.err, whole.err);
  }
}

TEST(Batch, resumes_only_what_it_would_have_written) {
  const Folder folder;
  const std::string out = folder.path("out.jsonl");
  const std::string a = examples()[0];
  const std::string b = examples()[1];
  ASSERT_NE(run({"batch", a, "-o", out}).exit, 2);
  const std::string before = Folder::contents(out);
  // A longer list goes on behind it.
  EXPECT_NE(run({"batch", a, b, "-o", out, "--resume"}).exit, 2);
  EXPECT_EQ(rows(Folder::contents(out)).size(), 2U);
  EXPECT_TRUE(Folder::contents(out).starts_with(before));
  // Other layouts, other columns, another format, no rows at all: refused, and nothing is changed.
  const std::string held = Folder::contents(out);
  for (const std::vector<std::string>& other : {std::vector<std::string>{b, a},
                                                {a},
                                                {a, b, "--columns", "title"},
                                                {a, b, "--format", "csv"}}) {
    const Outcome refused = run(with({"batch", "-o", out, "--resume"}, other));
    EXPECT_EQ(refused.exit, 2);
    EXPECT_NE(refused.err.find("error[other-output]"), std::string::npos) << refused.err;
    EXPECT_EQ(Folder::contents(out), held);
  }
}

TEST(Batch, a_full_disk_is_one_message_and_leaves_whole_rows) {
  const Folder folder;
  const std::string out = folder.path("out.jsonl");
  Call call{with({"batch", "-o", out}, examples())};
  call.largest_file = 4096;
  const Outcome full = run(call);
  EXPECT_EQ(full.exit, 2);
  EXPECT_EQ(full.err.find("error[cannot-write]"), 0U) << full.err;
  EXPECT_EQ(full.err.find("error", 1), std::string::npos) << full.err;
  EXPECT_FALSE(fs::exists(out));
  const std::string part = Folder::contents(out + ".part");
  EXPECT_FALSE(part.empty());
  EXPECT_EQ(part.back(), '\n');
  const Outcome resumed = run(with({"batch", "-o", out, "--resume"}, examples()));
  EXPECT_EQ(Folder::contents(out), run(with({"batch"}, examples())).out) << resumed.err;
  // Not even a row fits: nothing is left.
  call.largest_file = 100;
  call.arguments[2] = folder.path("small.jsonl");
  EXPECT_EQ(run(call).exit, 2);
  EXPECT_EQ(folder.names(), std::vector<std::string>{"out.jsonl"});
  if (fs::exists("/dev/full")) {
    const Outcome device = run(Call{with({"batch"}, examples()), "", {}, "/dev/full"});
    EXPECT_EQ(device.exit, 2);
    EXPECT_NE(device.err.find("error[cannot-write]"), std::string::npos) << device.err;
  }
}

TEST(Batch, refuses_wrong_calls_with_one_message_each) {
  struct Wrong {
    std::vector<std::string> words;
    std::string said;
  };
  const Folder folder;
  const std::string a = examples()[0];
  for (const Wrong& wrong :
       std::vector<Wrong>{{{"--shard", "5/4", a}, "there is no share 5 of 4"},
                          {{"--shard", "0/4", a}, "there is no share 0 of 4"},
                          {{"--shard", "3", a}, "takes a share such as 3/16"},
                          {{"--shard", "-1/4", a}, "takes a share such as 3/16"},
                          {{"--columns", "airflow", a}, "did you mean `airflow_m3_s`?"},
                          {{"--columns", "rules_met", a}, "is a column of `--study review`"},
                          {{"--resume", a}, "name it after `-o`"},
                          {{"--rules", "irc-2021", a}, "is for `--study review`"},
                          {{"--threads", "0", a}, "expected 1 to 256"},
                          {{"--threads", "1.5", a}, "takes a whole number"},
                          {{"--format", "text", a}, "`batch` prints no text"},
                          {{folder.path("*.yaml")}, "matches no file"},
                          {{folder.path("")}, "holds no file `*.yaml`"},
                          {{}, "needs layouts"}}) {
    const Outcome outcome = run(with({"batch"}, wrong.words));
    EXPECT_EQ(outcome.exit, 2) << wrong.said;
    EXPECT_EQ(outcome.out, "");
    EXPECT_NE(outcome.err.find(wrong.said), std::string::npos) << outcome.err;
    EXPECT_EQ(outcome.err.find("error", 1), std::string::npos) << outcome.err;
  }
}

TEST(Batch, does_not_overwrite_a_layout) {
  const Folder folder;
  const std::string text = run({"new", "-"}).out;
  const std::string a = folder.write("a.yaml", text);
  EXPECT_EQ(run({"batch", a, "-o", a}).exit, 2);
  EXPECT_EQ(Folder::contents(a), text);
  EXPECT_EQ(folder.names(), std::vector<std::string>{"a.yaml"});
}

TEST(Batch, shares_a_catalogue_of_the_users_own) {
  const Folder folder;
  const std::string text = run({"new", "-"}).out;
  (void)folder.write("bad-fittings.yml2", "kind: elbow\n");
  (void)folder.write("a.yaml", "catalogue: bad-fittings.yml2\n" + text);
  (void)folder.write("b.yaml", text);
  const std::vector<json> table = rows(run({"batch", folder.path("")}).out);
  ASSERT_EQ(table.size(), 2U);
  EXPECT_EQ(table[0]["status"], "failed");
  EXPECT_NE(table[1]["status"], "failed");
}

}  // namespace
}  // namespace ductledger::test
