#include <algorithm>
#include <numbers>

#include "fitting/evaluate_internal.hpp"

namespace ductledger::fitting {
namespace {

class Cover {
 public:
  Cover(const Entry& entry, std::string_view variable, const TableLookup& tables)
      : entry_(&entry), variable_(variable), tables_(&tables) {}

  void of(const DataSet& set) {
    if (set.table) {
      of(*set.table);
    }
    if (set.law) {
      of(*set.law);
    }
    const auto valid = set.valid.find(variable_);
    if (valid != set.valid.end()) {
      narrow(valid->second[0], valid->second[1]);
    }
    for (const FactorUse& use : set.factors) {
      if (use.law) {
        of(*use.law);
        continue;
      }
      const DataSet* other = nullptr;
      if (use.table.empty()) {
        other = entry_->find(use.data);
      } else if (const SupportTable* support = (*tables_)(use.table)) {
        other = support->find(use.data);
      }
      if (other != nullptr && other->table) {
        of(*other->table);
      } else if (other != nullptr && other->law) {
        of(*other->law);
      }
    }
    if (set.friction == FrictionLength::arc && variable_ == "angle") {
      narrow(0.0, std::numbers::pi);
    }
  }

  [[nodiscard]] std::optional<Catalogue::Covered> result() const { return range_; }

 private:
  void narrow(double lowest, double highest) {
    range_ = range_ ? Catalogue::Covered{std::max(range_->lowest, lowest),
                                         std::min(range_->highest, highest)}
                    : Catalogue::Covered{lowest, highest};
  }
  void of(const PrintedTable& table) {
    for (std::size_t i = 0; i < table.axes.size(); ++i) {
      if (table.axes[i].name == variable_) {
        const auto nodes = table.ready->axis(i);
        narrow(nodes.front() * table.axes[i].si_per_unit, nodes.back() * table.axes[i].si_per_unit);
      }
    }
  }
  // A law is read within the entry's range of its variable.
  void of(Law law) {
    for (const std::string& name : law_variables(law)) {
      for (const Catalogue::Parameter& p : entry_->parameters) {
        if (name == variable_ && p.name == name) {
          narrow(p.lowest, p.highest);
        }
      }
    }
  }

  const Entry* entry_;
  std::string variable_;
  const TableLookup* tables_;
  std::optional<Catalogue::Covered> range_;
};

}  // namespace

std::optional<Catalogue::Covered> covered_by(const Entry& entry,
                                             const DataSet& set,
                                             std::string_view variable,
                                             const TableLookup& tables) {
  Cover cover(entry, variable, tables);
  cover.of(set);
  return cover.result();
}

}  // namespace ductledger::fitting
