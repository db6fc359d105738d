#include "numeric/normal.hpp"

#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>

namespace ductledger::numeric {
namespace {

using InDoubles = boost::math::policies::policy<boost::math::policies::promote_double<false>>;

}  // namespace

double inverse_normal(double probability) {
  static const boost::math::normal_distribution<double, InDoubles> normal;
  return boost::math::quantile(normal, probability);
}

double inverse_students_t(const StudentsT& of) {
  const boost::math::students_t_distribution<double, InDoubles> t(of.freedom);
  return boost::math::quantile(t, of.probability);
}

}  // namespace ductledger::numeric
