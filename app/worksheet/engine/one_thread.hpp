#pragma once

// Boost's own lock, for a library without threads; included before everything else.
#define BOOST_SMART_PTR_DETAIL_LIGHTWEIGHT_MUTEX_HPP_INCLUDED

namespace boost::detail {

class lightweight_mutex {
 public:
  class scoped_lock {
   public:
    explicit scoped_lock(lightweight_mutex&) {}
  };
};

}  // namespace boost::detail
