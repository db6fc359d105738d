// Every table of the catalogue at its nodes, against the printed figures typed a second time, and
// every named formula against figures that its source prints or that were computed from it apart
// from this code. Counts are by hand from the sources.
#include "fitting/catalogue.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numbers>
#include <string>
#include <vector>

#include "fitting/entry.hpp"
#include "fitting/junction.hpp"
#include "fitting/law.hpp"

namespace ductledger::fitting {
namespace {

constexpr double kDegree = std::numbers::pi / 180.0;

/// A printed table: nodes in the printed unit (a band by its upper end), the last axis fastest.
struct Printed {
  std::string entry;  ///< catalogue key, or `table:` and the name of a support table
  std::string data;   ///< key of the data set; `:reynolds` for its Reynolds correction
  std::vector<std::vector<double>> axes;
  std::vector<double> values;
};

// clang-format off
const std::vector<Printed>& printed() {
  static const std::vector<Printed> tables{
      // round smooth elbow: smacna4 table A-7; idelchik diagram 6-1; ashrae09 p. 21.26; fluids 1.0.22
      {"elbow/smooth-radius/round", "smacna4", {{0.5, 0.75, 1.0, 1.5, 2.0, 2.5}},
       {0.71, 0.33, 0.22, 0.15, 0.13, 0.12}},
      {"elbow/smooth-radius/round", "idelchik", {{0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.25, 1.5, 2.0, 4.0}},
       {1.18, 0.77, 0.51, 0.37, 0.28, 0.21, 0.19, 0.17, 0.15, 0.11}},
      {"elbow/smooth-radius/round", "ashrae09", {{75, 100, 125, 150, 180, 200, 230, 250}},
       {0.3, 0.21, 0.16, 0.14, 0.12, 0.11, 0.11, 0.11}},
      {"elbow/smooth-radius/round", "miller-re-1e5", {{0.5, 0.75, 1.0, 1.5, 2.0, 2.5}},
       {1.24, 0.55, 0.36, 0.28, 0.25, 0.24}},
      {"elbow/smooth-radius/round", "miller-re-1e6", {{0.5, 0.75, 1.0, 1.5, 2.0, 2.5}},
       {1.03, 0.39, 0.25, 0.17, 0.15, 0.14}},
      {"elbow/smooth-radius/round", "rennels", {{0.5, 0.75, 1.0, 1.5, 2.0, 2.5}},
       {0.96, 0.5, 0.35, 0.25, 0.22, 0.22}},
      {"elbow/smooth-radius/round", "ito", {{0.75, 1.0, 1.5, 2.0, 2.5}},
       {0.38, 0.29, 0.23, 0.21, 0.2}},
      // angle factor
      {"table:elbow-angle", "smacna4", {{0, 20, 30, 45, 60, 75, 90, 110, 130, 150, 180}},
       {0, 0.31, 0.45, 0.6, 0.78, 0.9, 1.0, 1.13, 1.2, 1.28, 1.4}},
      {"table:elbow-angle", "idelchik", {{20, 30, 45, 60, 75, 90, 110, 130, 150, 180}},
       {0.31, 0.45, 0.6, 0.78, 0.9, 1.0, 1.13, 1.2, 1.28, 1.4}},
      {"table:elbow-angle", "ashrae09", {{45}},
       {0.61}},
      {"table:elbow-angle", "acgih", {{30, 45, 60, 90}},
       {0.33, 0.5, 0.67, 1.0}},
      // gored elbows
      {"elbow/gored-5/round", "smacna4", {{0.75, 1.0, 1.5, 2.0}},
       {0.46, 0.33, 0.24, 0.19}},
      {"elbow/gored-4/round", "smacna4", {{0.75, 1.0, 1.5, 2.0}},
       {0.5, 0.37, 0.27, 0.24}},
      {"elbow/gored-3/round", "smacna4", {{0.5, 0.75, 1.0, 1.5, 2.0}},
       {0.98, 0.54, 0.42, 0.34, 0.33}},
      {"elbow/gored-3/round", "ashrae09", {{0.75, 1.0, 1.5, 2.0}},
       {0.54, 0.42, 0.34, 0.33}},
      {"table:gored-elbow-size", "five-piece", {{75, 150, 230, 300, 380, 450, 530, 600, 690, 750, 1500}},
       {0.51, 0.28, 0.21, 0.18, 0.16, 0.15, 0.14, 0.13, 0.12, 0.12, 0.12}},
      {"table:gored-elbow-size", "seven-piece", {{75, 150, 230, 300, 380, 450, 690, 1500}},
       {0.16, 0.12, 0.1, 0.08, 0.07, 0.06, 0.05, 0.03}},
      {"elbow/gored-5/round", "acgih", {{0.75, 1.0, 1.5, 2.0, 2.5}},
       {0.46, 0.33, 0.24, 0.19, 0.17}},
      // round mitered elbow
      {"elbow/mitered/round", "smacna4", {{20, 30, 45, 60, 75, 90}},
       {0.08, 0.16, 0.34, 0.55, 0.81, 1.2}},
      {"elbow/mitered/round", "idelchik-nodes", {{20, 30, 45, 60, 75, 90}},
       {0.08, 0.16, 0.34, 0.55, 0.81, 1.19}},
      {"elbow/mitered/round", "rennels", {{20, 30, 45, 60, 75, 90}},
       {0.09, 0.15, 0.3, 0.53, 0.83, 1.2}},
      {"elbow/mitered/round", "miller", {{20, 30, 45, 60, 75, 90}},
       {0.12, 0.2, 0.4, 0.65, 0.97, 1.36}},
      {"elbow/mitered/round", "blevins", {{20, 30, 45, 60, 75, 90}},
       {0.06, 0.12, 0.32, 0.57, 0.92, 1.26}},
      {"elbow/mitered/round", "technical-paper-410m", {{20, 30, 45, 60, 75, 90}},
       {0.08, 0.12, 0.22, 0.37, 0.6, 0.9}},
      {"elbow/mitered/round", "idelchik-a", {{20, 30, 45, 60, 75, 90}},
       {2.5, 2.22, 1.87, 1.5, 1.28, 1.2}},
      {"elbow/mitered/round", "smacna4:reynolds", {{1, 2, 3, 4, 6, 8, 10, 14}},
       {1.4, 1.26, 1.19, 1.14, 1.09, 1.06, 1.04, 1.0}},
      // adjustable elbow
      {"elbow/adjustable/round", "smacna4", {{0.75, 1.0}},
       {0.5, 0.37}},
      {"elbow/adjustable/round", "pleated", {{45, 90}, {100, 150, 200, 250, 300, 350, 400}},
       {0.34, 0.26, 0.21, 0.17, 0.16, 0.15, 0.15, 0.57, 0.43, 0.34, 0.28, 0.26, 0.25, 0.25}},
      // rectangular smooth elbow; the second row of the Reynolds correction is for R/W 0.75 and up
      {"elbow/smooth-radius/rectangular", "idelchik", {{0.5, 0.6, 0.7, 0.75, 0.8, 0.9, 1.0, 1.25, 1.5, 2.0}},
       {1.18, 0.77, 0.51, 0.44, 0.37, 0.28, 0.21, 0.19, 0.17, 0.15}},
      {"elbow/smooth-radius/rectangular", "idelchik-c1", {{0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0}},
       {1.3, 1.17, 1.09, 1.0, 0.9, 0.85, 0.85, 0.9, 0.95, 0.98, 1.0, 1.0}},
      {"elbow/smooth-radius/rectangular", "idelchik-c1-large-radius", {{0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0}},
       {1.8, 1.45, 1.2, 1.0, 0.68, 0.45, 0.4, 0.43, 0.48, 0.55, 0.58, 0.6}},
      {"elbow/smooth-radius/rectangular", "smacna3", {{0.5, 0.75, 1.0, 1.5, 2.0}, {0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0}},
       {1.5, 1.4, 1.3, 1.2, 1.1, 1.0, 1.0, 1.1, 1.1, 1.2, 1.2, 0.57, 0.52, 0.48, 0.44, 0.4, 0.39, 0.39, 0.4, 0.42, 0.43, 0.44, 0.27, 0.25, 0.23, 0.21, 0.19, 0.18, 0.18, 0.19, 0.2, 0.21, 0.21, 0.22, 0.2, 0.19, 0.17, 0.15, 0.14, 0.14, 0.15, 0.16, 0.17, 0.17, 0.2, 0.18, 0.16, 0.15, 0.14, 0.13, 0.13, 0.14, 0.14, 0.15, 0.15}},
      {"elbow/smooth-radius/rectangular", "smacna3:reynolds", {{0.5, 2.0}, {1, 2, 3, 4, 6, 8, 10, 14, 20}},
       {1.4, 1.26, 1.19, 1.14, 1.09, 1.06, 1.04, 1.0, 1.0, 2.0, 1.77, 1.64, 1.56, 1.46, 1.38, 1.3, 1.15, 1.0}},
      // rectangular mitered elbow
      {"elbow/mitered/rectangular", "smacna4", {{20, 30, 45, 60, 75, 90}, {0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 4.0, 6.0, 8.0}},
       {0.08, 0.08, 0.08, 0.07, 0.07, 0.07, 0.06, 0.05, 0.05, 0.18, 0.17, 0.17, 0.16, 0.15, 0.15, 0.13, 0.12, 0.11, 0.38, 0.37, 0.36, 0.34, 0.33, 0.31, 0.27, 0.25, 0.24, 0.6, 0.59, 0.57, 0.55, 0.52, 0.49, 0.43, 0.39, 0.38, 0.89, 0.87, 0.84, 0.81, 0.77, 0.73, 0.63, 0.58, 0.57, 1.3, 1.3, 1.2, 1.2, 1.1, 1.1, 0.92, 0.85, 0.83}},
      {"elbow/mitered/rectangular", "smacna4:reynolds", {{1, 2, 3, 4, 6, 8, 10, 14}},
       {1.4, 1.26, 1.19, 1.14, 1.09, 1.06, 1.04, 1.0}},
      {"elbow/mitered/rectangular", "idelchik-a", {{20, 30, 45, 60, 75, 90}},
       {2.5, 2.22, 1.87, 1.5, 1.28, 1.2}},
      {"elbow/mitered/rectangular", "idelchik-c1", {{0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0}},
       {1.1, 1.07, 1.04, 1.0, 0.95, 0.9, 0.83, 0.78, 0.75, 0.72, 0.71, 0.7}},
      // turning vanes
      {"elbow/mitered-vaned/rectangular", "single-small", {},
       {0.12}},
      {"elbow/mitered-vaned/rectangular", "single-medium", {},
       {0.15}},
      {"elbow/mitered-vaned/rectangular", "single-wide", {},
       {0.18}},
      {"elbow/mitered-vaned/rectangular", "single-small-ashrae85", {},
       {0.11}},
      {"elbow/mitered-vaned/rectangular", "single-wide-ashrae85", {},
       {0.33}},
      {"elbow/mitered-vaned/rectangular", "double-small", {{1000, 2000, 3000, 4000}},
       {0.27, 0.22, 0.19, 0.17}},
      {"elbow/mitered-vaned/rectangular", "double-medium", {{1000, 2000, 3000, 4000}},
       {0.33, 0.29, 0.26, 0.23}},
      {"elbow/mitered-vaned/rectangular", "double-wide", {{1000, 2000, 3000, 4000}},
       {0.38, 0.31, 0.27, 0.24}},
      // two close elbows
      {"table:two-close-elbows", "mitred-offset", {{0, 0.4, 0.6, 0.8, 1.0, 1.2, 1.4, 1.6, 1.8, 2.0, 2.4, 2.8, 3.2, 4.0, 5.0, 6.0, 7.0, 9.0, 10.0}},
       {0, 0.62, 0.9, 1.6, 2.6, 3.6, 4.0, 4.2, 4.2, 4.2, 3.7, 3.3, 3.2, 3.1, 2.9, 2.8, 2.7, 2.6, 2.5}},
      {"table:two-close-elbows", "mitred-offset-far", {},
       {2.3}},
      {"table:two-close-elbows", "mitred-two-planes", {{0, 0.4, 0.6, 0.8, 1.0, 1.2, 1.4, 1.6, 1.8, 2.0, 2.4, 2.8, 3.2, 4.0, 5.0, 6.0, 7.0, 9.0, 10.0}},
       {1.2, 2.4, 2.9, 3.3, 3.4, 3.4, 3.4, 3.3, 3.2, 3.1, 3.2, 3.2, 3.2, 3.0, 2.9, 2.8, 2.7, 2.5, 2.4}},
      {"table:two-close-elbows", "mitred-two-planes-far", {},
       {2.3}},
      {"table:two-close-elbows", "round-30-offset", {{0, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0}},
       {0, 0.15, 0.15, 0.16, 0.16, 0.16, 0.16}},
      // conical expander
      {"transition/gradual/expander-round", "idelchik", {{0.0, 0.05, 0.1, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6}, {3, 6, 8, 10, 12, 14, 16, 20, 24, 30, 40, 60, 90, 180}},
       {0.03, 0.08, 0.11, 0.15, 0.19, 0.23, 0.27, 0.36, 0.47, 0.65, 0.92, 1.15, 1.1, 1.02, 0.03, 0.07, 0.1, 0.14, 0.16, 0.2, 0.24, 0.32, 0.42, 0.58, 0.83, 1.04, 0.99, 0.92, 0.03, 0.07, 0.09, 0.12, 0.15, 0.18, 0.22, 0.29, 0.38, 0.52, 0.75, 0.93, 0.89, 0.83, 0.02, 0.05, 0.07, 0.1, 0.12, 0.15, 0.17, 0.23, 0.3, 0.41, 0.59, 0.74, 0.7, 0.65, 0.02, 0.05, 0.06, 0.08, 0.1, 0.13, 0.15, 0.2, 0.26, 0.35, 0.47, 0.65, 0.62, 0.58, 0.02, 0.04, 0.05, 0.07, 0.09, 0.11, 0.13, 0.18, 0.23, 0.31, 0.4, 0.57, 0.54, 0.5, 0.01, 0.03, 0.04, 0.06, 0.07, 0.08, 0.1, 0.13, 0.17, 0.23, 0.33, 0.41, 0.39, 0.37, 0.01, 0.02, 0.03, 0.04, 0.05, 0.06, 0.07, 0.09, 0.12, 0.16, 0.23, 0.29, 0.28, 0.26, 0.01, 0.01, 0.02, 0.03, 0.03, 0.04, 0.05, 0.06, 0.08, 0.1, 0.15, 0.18, 0.17, 0.16}},
      {"transition/gradual/expander-round", "ashrae85", {{0.5, 2, 6}, {2, 4, 6, 10, 16}, {16, 20, 30, 45, 60, 90, 120, 180}},
       {0.14, 0.19, 0.32, 0.33, 0.33, 0.32, 0.31, 0.3, 0.23, 0.3, 0.46, 0.61, 0.68, 0.64, 0.63, 0.62, 0.27, 0.33, 0.48, 0.66, 0.77, 0.74, 0.73, 0.72, 0.29, 0.38, 0.59, 0.76, 0.8, 0.83, 0.84, 0.83, 0.31, 0.38, 0.6, 0.84, 0.88, 0.88, 0.88, 0.88, 0.07, 0.12, 0.23, 0.28, 0.27, 0.27, 0.27, 0.26, 0.15, 0.18, 0.36, 0.55, 0.59, 0.59, 0.58, 0.57, 0.19, 0.28, 0.44, 0.9, 0.7, 0.71, 0.71, 0.69, 0.2, 0.24, 0.43, 0.76, 0.8, 0.81, 0.81, 0.81, 0.21, 0.28, 0.52, 0.76, 0.87, 0.87, 0.87, 0.87, 0.05, 0.07, 0.12, 0.27, 0.27, 0.27, 0.27, 0.27, 0.17, 0.24, 0.38, 0.51, 0.56, 0.58, 0.58, 0.57, 0.16, 0.29, 0.46, 0.6, 0.69, 0.71, 0.7, 0.7, 0.21, 0.33, 0.52, 0.6, 0.76, 0.83, 0.84, 0.83, 0.21, 0.34, 0.56, 0.72, 0.79, 0.85, 0.87, 0.89}},
      {"transition/gradual/expander-round", "technical-paper-410m", {{2, 4, 6}, {10, 16, 20, 30, 45, 60, 90, 180}},
       {0.057, 0.09, 0.113, 0.168, 0.25, 0.25, 0.25, 0.25, 0.127, 0.204, 0.254, 0.379, 0.562, 0.562, 0.562, 0.562, 0.157, 0.251, 0.314, 0.467, 0.694, 0.694, 0.694, 0.694}},
      {"transition/gradual/expander-round", "rennels", {{2, 4, 6}, {10, 16, 20, 30, 45, 60, 90, 180}},
       {0.051, 0.08, 0.11, 0.206, 0.28, 0.303, 0.276, 0.251, 0.093, 0.167, 0.238, 0.457, 0.626, 0.677, 0.622, 0.565, 0.109, 0.203, 0.291, 0.523, 0.709, 0.756, 0.737, 0.717}},
      // pyramidal expander
      {"transition/gradual/expander-pyramidal", "smacna3", {{2, 4, 6, 10}, {16, 20, 30, 45, 60, 90, 120, 180}},
       {0.18, 0.22, 0.25, 0.29, 0.31, 0.32, 0.33, 0.3, 0.36, 0.43, 0.5, 0.56, 0.61, 0.63, 0.63, 0.63, 0.42, 0.47, 0.58, 0.68, 0.72, 0.76, 0.76, 0.75, 0.42, 0.49, 0.59, 0.7, 0.8, 0.87, 0.85, 0.86}},
      // reducer; a band of angles is given by its upper end
      {"transition/gradual/reducer", "smacna3", {{2, 4, 6, 10}, {10, 40, 60, 90, 120, 150, 180}},
       {0.05, 0.05, 0.06, 0.12, 0.18, 0.24, 0.26, 0.05, 0.04, 0.07, 0.17, 0.27, 0.35, 0.41, 0.05, 0.04, 0.07, 0.18, 0.28, 0.36, 0.42, 0.05, 0.05, 0.08, 0.19, 0.29, 0.37, 0.43}},
      {"transition/gradual/reducer", "rennels", {{2, 4}, {10, 20, 40, 60, 90, 120, 150, 180}},
       {0.029, 0.029, 0.051, 0.083, 0.14, 0.206, 0.275, 0.345, 0.037, 0.037, 0.068, 0.113, 0.196, 0.291, 0.394, 0.498}},
      {"transition/gradual/reducer", "idelchik", {{2, 4}, {10, 20, 40, 60, 90, 120, 150, 180}},
       {0.155, 0.1, 0.067, 0.078, 0.121, 0.17, 0.228, 0.26, 0.233, 0.145, 0.092, 0.1, 0.166, 0.239, 0.314, 0.385}},
      {"transition/gradual/reducer", "blevins", {{2, 4}, {40, 60, 90, 120, 150, 180}},
       {0.066, 0.103, 0.13, 0.158, 0.223, 0.25, 0.13, 0.13, 0.161, 0.227, 0.283, 0.365}},
      // abrupt changes
      {"transition/abrupt/expansion", "fluids", {{1.5, 2, 4, 6, 10}},
       {0.111, 0.25, 0.562, 0.694, 0.81}},
      {"transition/abrupt/contraction", "smacna3", {{2, 4, 6, 10}},
       {0.26, 0.41, 0.42, 0.43}},
      {"transition/abrupt/contraction", "rennels", {{1.5, 2, 4, 6, 10}},
       {0.208, 0.343, 0.496, 0.528, 0.548}},
      {"transition/abrupt/contraction", "hooper", {{1.5, 2, 4, 6, 10}},
       {0.203, 0.304, 0.456, 0.507, 0.548}},
      // entries
      {"entry/plain", "hsp9", {{0.0, 0.02, 0.05}, {0, 0.002, 0.01, 0.05, 0.2, 0.5, 1.0}},
       {0.5, 0.57, 0.68, 0.8, 0.92, 1.0, 1.0, 0.5, 0.51, 0.52, 0.55, 0.66, 0.72, 0.72, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5}},
      {"entry/plain", "idelchik", {{0, 0.004, 0.008, 0.012, 0.016, 0.02, 0.024, 0.03, 0.04, 0.05}},
       {1.0, 0.94, 0.88, 0.83, 0.77, 0.72, 0.68, 0.61, 0.54, 0.5}},
      {"entry/plain", "witheridge", {},
       {0.9}},
      {"entry/plain", "acgih", {},
       {0.93}},
      {"entry/plain", "technical-paper-410m", {},
       {0.78}},
      {"entry/plain", "miller", {},
       {1.13}},
      {"entry/plain", "rennels", {},
       {1.11}},
      {"entry/flanged", "hsp9", {},
       {0.5}},
      {"entry/flanged", "witheridge", {},
       {0.5}},
      {"entry/flanged", "acgih", {},
       {0.49}},
      {"entry/flanged", "rennels", {},
       {0.57}},
      {"entry/flanged", "miller", {},
       {0.51}},
      {"entry/flanged", "fluids", {},
       {0.5}},
      {"entry/bellmouth", "hsp9", {{0, 0.01, 0.02, 0.03, 0.04, 0.05, 0.06, 0.08, 0.1, 0.12, 0.16, 0.2}},
       {1.0, 0.87, 0.74, 0.61, 0.51, 0.4, 0.32, 0.2, 0.15, 0.1, 0.06, 0.03}},
      {"entry/bellmouth", "idelchik", {{0, 0.01, 0.02, 0.03, 0.04, 0.05, 0.06, 0.08, 0.12, 0.16, 0.2}},
       {0.5, 0.44, 0.37, 0.31, 0.26, 0.22, 0.2, 0.15, 0.09, 0.06, 0.03}},
      {"entry/bellmouth", "acgih", {},
       {0.04}},
      {"entry/bellmouth", "rennels", {{0.02, 0.05, 0.08, 0.1, 0.12, 0.16, 0.2}},
       {0.396, 0.297, 0.234, 0.203, 0.178, 0.14, 0.115}},
      {"entry/tapered-hood/round", "idelchik", {{0.025, 0.05, 0.1, 0.15, 0.6}, {0, 10, 20, 30, 40, 60, 100, 140, 180}},
       {0.5, 0.47, 0.45, 0.43, 0.41, 0.4, 0.42, 0.45, 0.5, 0.5, 0.45, 0.41, 0.36, 0.33, 0.3, 0.35, 0.42, 0.5, 0.5, 0.39, 0.32, 0.25, 0.22, 0.18, 0.27, 0.38, 0.5, 0.5, 0.37, 0.27, 0.2, 0.16, 0.15, 0.25, 0.37, 0.5, 0.5, 0.27, 0.18, 0.13, 0.11, 0.12, 0.23, 0.36, 0.5}},
      {"entry/tapered-hood/round", "smacna3", {{0, 20, 40, 60, 80, 100, 120, 140, 160, 180}},
       {1.0, 0.11, 0.06, 0.09, 0.14, 0.18, 0.27, 0.32, 0.43, 0.5}},
      {"entry/tapered-hood/rectangular", "smacna3", {{0, 20, 40, 60, 80, 100, 120, 140, 160, 180}},
       {1.0, 0.19, 0.13, 0.16, 0.21, 0.27, 0.33, 0.43, 0.53, 0.62}},
      {"entry/tapered-hood/rectangular", "iv-design-2", {},
       {0.65}},
      // caps
      {"cap/open-end", "fluids", {},
       {1.0}},
      {"cap/open-end", "idelchik", {},
       {1.0}},
      {"cap/conical-rain-cap/round", "smacna3", {{0.1, 0.2, 0.25, 0.3, 0.35, 0.4, 0.5, 0.6, 0.8, 1.0}},
       {4.0, 2.3, 1.9, 1.6, 1.4, 1.3, 1.15, 1.1, 1.0, 1.0}},
      {"cap/conical-rain-cap/round", "acgih", {{0.45, 0.5, 0.55, 0.6, 0.65, 0.7, 0.75, 1.0}},
       {2.0, 1.73, 1.56, 1.41, 1.3, 1.22, 1.18, 1.1}},
      {"cap/wall-hood-flap", "composed", {},
       {2.5}},
      {"cap/louver", "blevins-grille", {{0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9}},
       {34, 14, 7.1, 4.0, 2.33, 1.35, 0.72, 0.3}},
      {"cap/louver", "blevins-screen", {{0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9}},
       {52, 17, 7.7, 3.8, 2.0, 1.1, 0.53, 0.08}},
      // screen
      {"screen/mesh", "ashrae85", {{0.3, 0.4, 0.5, 0.55, 0.6, 0.65, 0.7, 0.75, 0.8, 0.9, 1.0}},
       {6.2, 3.0, 1.7, 1.3, 0.97, 0.75, 0.58, 0.44, 0.32, 0.14, 0}},
      {"screen/mesh", "round-wire", {{0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9}},
       {5.26, 2.73, 1.56, 0.92, 0.54, 0.29, 0.12}},
      {"screen/mesh", "open-mesh", {{0.4, 0.5, 0.6, 0.7, 0.8, 0.9}},
       {0.87, 0.66, 0.48, 0.32, 0.19, 0.08}},
      // dampers
      {"damper/butterfly/round", "smacna3", {{0, 10, 20, 30, 40, 50, 60}},
       {0.2, 0.52, 1.5, 4.5, 11, 29, 108}},
      {"damper/butterfly/round", "ashrae85", {{0, 10, 20, 30, 40, 50, 60}},
       {0.19, 0.67, 1.76, 4.38, 11.2, 32.0, 113}},
      {"damper/butterfly/round", "technical-paper-410m", {},
       {0.67}},
      {"damper/butterfly/rectangular", "smacna3", {{0, 10, 20, 30, 40, 50, 60}},
       {0.04, 0.33, 1.2, 3.3, 9.0, 26, 70}},
      {"cap/end-flap", "idelchik", {{15, 20, 25, 30, 45, 60, 90}},
       {11, 6.3, 4.5, 4.0, 3.0, 2.5, 2.0}},
      {"damper/backdraft-flap", "technical-paper-410m", {},
       {1.49}},
      // filters
      {"filter/baffle", "ashrae-applications", {{1, 2}, {249, 349, 450, 500}},
       {0.25, 0.5, 0.75, 1.0, 0.5, 0.75, 1.0, 1.25}},
      {"filter/baffle", "composed", {},
       {25}},
      {"filter/mesh", "composed", {},
       {15}},
      // junctions
      {"junction/wye-45", "branch-table", {{0.2, 0.3, 0.4, 0.6, 0.8, 1.0}, {0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0}},
       {-0.44, 0.44, 1.63, 3.15, 4.98, 7.13, 12.39, 18.93, -0.56, -0.02, 0.6, 1.3, 2.1, 2.98, 5.01, 7.4, -0.48, -0.12, 0.17, 0.39, 0.65, 0.91, 1.46, 2.04, -0.5, -0.19, 0.04, 0.19, 0.33, 0.46, 0.65, 0.78, -0.5, -0.21, 0.0, 0.13, 0.25, 0.33, 0.43, 0.44, -0.51, -0.21, -0.01, 0.12, 0.22, 0.29, 0.36, 0.32}},
      {"junction/wye-45", "straight-table", {{0.2, 0.3, 0.4, 0.6, 0.8, 1.0}, {0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0}},
       {0.12, 0.1, -0.07, -0.38, -0.82, -1.4, -2.93, -4.94, 0.14, 0.18, 0.1, -0.08, -0.35, -0.72, -1.73, -3.05, 0.0, -0.03, -0.09, -0.18, -0.29, -0.42, -1.12, -2.11, 0.06, 0.09, 0.09, 0.06, 0.0, -0.07, -0.52, -1.17, 0.09, 0.15, 0.17, 0.17, 0.15, 0.11, -0.22, -0.7, 0.11, 0.18, 0.23, 0.24, 0.24, 0.21, -0.04, -0.41}},
      {"junction/wye-30", "branch-table", {{0.2, 0.3, 0.4, 0.6, 0.8, 1.0}, {0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0}},
       {-0.46, 0.37, 1.49, 2.89, 4.58, 6.56, 11.38, 17.34, -0.57, -0.07, 0.5, 1.13, 1.83, 2.6, 4.34, 6.34, -0.49, -0.15, 0.12, 0.32, 0.54, 0.75, 1.18, 1.61, -0.5, -0.2, 0.01, 0.14, 0.26, 0.35, 0.47, 0.49, -0.51, -0.22, -0.02, 0.1, 0.19, 0.25, 0.29, 0.22, -0.51, -0.22, -0.03, 0.09, 0.17, 0.23, 0.25, 0.15}},
      {"junction/wye-30", "straight-table", {{0.2, 0.3, 0.4, 0.6, 0.8, 1.0}, {0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0}},
       {0.11, 0.06, -0.16, -0.55, -1.09, -1.8, -3.67, -6.13, 0.14, 0.15, 0.04, -0.18, -0.52, -0.97, -2.19, -3.82, -0.03, -0.1, -0.19, -0.31, -0.45, -0.6, -1.45, -2.66, 0.04, 0.05, 0.03, -0.02, -0.08, -0.17, -0.71, -1.51, 0.08, 0.12, 0.14, 0.13, 0.1, 0.05, -0.34, -0.93, 0.1, 0.16, 0.2, 0.21, 0.2, 0.18, -0.12, -0.59}},
      {"junction/tee-90", "branch-table", {{0.2, 0.3, 0.4, 0.6, 0.8, 1.0}, {0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0}},
       {-0.37, 0.72, 2.27, 4.28, 6.75, 9.68, 16.92, 26.0, -0.51, 0.16, 1.02, 2.06, 3.28, 4.68, 8.03, 12.11, -0.45, -0.02, 0.37, 0.69, 1.13, 1.61, 2.71, 3.99, -0.48, -0.12, 0.17, 0.39, 0.66, 0.92, 1.48, 2.08, -0.49, -0.16, 0.1, 0.29, 0.49, 0.68, 1.06, 1.41, -0.49, -0.17, 0.07, 0.24, 0.41, 0.57, 0.86, 1.1}},
      {"junction/tee-90", "straight-table", {{0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0}},
       {0.18, 0.31, 0.41, 0.48, 0.53, 0.55, 0.58, 0.6}},
      {"junction/wye-45", "acgih", {{10, 15, 20, 25, 30, 35, 40, 45, 50, 60, 90}},
       {0.06, 0.09, 0.12, 0.15, 0.18, 0.21, 0.25, 0.28, 0.32, 0.44, 1.0}},
      {"junction/wye-45", "technical-paper-410m-branch", {{0.2, 0.3, 0.4, 0.5, 0.6, 0.7}},
       {-0.18, 0.05, 0.21, 0.37, 0.5, 0.63}},
      {"junction/wye-45", "technical-paper-410m-straight", {{0.2, 0.3, 0.4, 0.5, 0.6, 0.7}},
       {0.26, 0.28, 0.24, 0.12, -0.06, -0.32}},
      {"junction/tee-90", "idelchik-older-factor", {{0, 0.16, 0.2, 0.25, 0.29, 0.31, 0.33, 0.35, 0.4, 0.6, 0.8, 1.0}},
       {1, 1, 0.99, 0.95, 0.9, 0.85, 0.8, 0.78, 0.75, 0.7, 0.65, 0.6}},
      {"junction/tee-90", "acgih", {},
       {1.0}},
      {"junction/diverging", "smacna3", {{0.2, 0.4, 0.6, 0.8, 1.0, 1.2, 1.4, 1.6, 1.8, 2.0}},
       {0.84, 0.61, 0.41, 0.27, 0.17, 0.12, 0.12, 0.14, 0.18, 0.27}},
      {"junction/diverging", "textbook-sheet", {},
       {0.48}},
      // flexible duct
      {"flex/wire-helix", "computed-table", {{4, 5, 6, 7, 8, 10, 12}, {0, 4, 10, 15, 20, 25, 30, 45}},
       {1.0, 2.4, 4.5, 6.26, 8.01, 9.76, 11.51, 16.77, 1.0, 2.24, 4.09, 5.63, 7.18, 8.72, 10.27, 14.9, 1.0, 2.09, 3.72, 5.09, 6.45, 7.81, 9.17, 13.26, 1.0, 1.96, 3.4, 4.6, 5.8, 7.0, 8.2, 11.8, 1.0, 1.85, 3.12, 4.18, 5.23, 6.29, 7.35, 10.53, 1.0, 1.66, 2.65, 3.47, 4.29, 5.11, 5.94, 8.4, 1.0, 1.51, 2.28, 2.92, 3.56, 4.2, 4.84, 6.75}},
      {"flex/wire-helix", "against-galvanized", {{6, 8, 10}, {200, 400, 600}},
       {1.48, 1.6, 1.65, 1.36, 1.47, 1.54, 1.28, 1.38, 1.45}},
  };
  return tables;
}
// clang-format on

const DataSet* find_set(const Printed& table, std::string& data) {
  data = table.data.substr(0, table.data.find(':'));
  const Catalogue& catalogue = Catalogue::built_in();
  if (table.entry.rfind("table:", 0) == 0) {
    const SupportTable* support = catalogue.table(table.entry.substr(6));
    return support == nullptr ? nullptr : support->find(data);
  }
  const Entry* entry = catalogue.entry(table.entry);
  return entry == nullptr ? nullptr : entry->find(data);
}

TEST(CatalogueFigures, StandAsPrinted) {
  for (const Printed& table : printed()) {
    SCOPED_TRACE(table.entry + " " + table.data);
    std::string data;
    const DataSet* set = find_set(table, data);
    ASSERT_NE(set, nullptr);
    const bool reynolds = table.data != data;
    const PrintedTable& held = reynolds ? *set->reynolds->table : *set->table;
    ASSERT_EQ(held.axes.size(), table.axes.size());
    for (std::size_t i = 0; i < table.axes.size(); ++i) {
      std::vector<double> nodes;
      for (const auto& at : held.axes[i].at) {
        nodes.push_back(at[1]);
      }
      EXPECT_EQ(nodes, table.axes[i]) << "axis " << held.axes[i].name;
    }
    EXPECT_EQ(held.values, table.values);
  }
}

/// A piece of an entry at which every factor but those named below is 1: 90 degrees, 150 mm round,
/// square where rectangular.
class PieceAt {
 public:
  PieceAt(const Entry& entry, const DataSet& set) : entry_(&entry) {
    piece_.kind = entry.kind;
    piece_.type = entry.type;
    piece_.source = set.key;
    const auto square = duct::Section::rectangular(units::metres(0.2), units::metres(0.2));
    if (!entry.from_to.front()[0].round) {
      small_ = square;
    }
    large_ = small_;
    piece_.angle_rad = 90.0 * kDegree;
    piece_.in_plane_m = 0.2;
    piece_.across_m = 0.2;
    for (const auto& p : entry.parameters) {
      if (p.required) {
        piece_.parameters[p.name] = p.lowest;
      }
    }
    if (entry.kind == Kind::transition) {
      set_ratio(2.0);
    }
  }

  void set(const Axis& axis, double printed) {
    const double si = printed * axis.si_per_unit;
    if (axis.name == "angle") {
      piece_.angle_rad = si;
    } else if (axis.name == "diameter") {
      small_ = duct::Section::round(units::metres(si));
      large_ = small_;
    } else if (axis.name == "aspect_ratio") {
      piece_.across_m = 0.2 * si;
    } else if (axis.name == "area_ratio") {
      set_ratio(si);
    } else if (axis.name == "small_over_large") {
      set_ratio(1.0 / std::max(si, 1e-9));  // ratio 0 is a duct into open space
    } else if (axis.name == "reynolds") {
      reynolds_ = si;
    } else if (axis.name == "velocity") {
      // Standard air: 0.075 lb/ft3, 1.819e-5 Pa s.
      reynolds_ = si * small_.hydraulic_diameter_m() * 1.20138 / 1.819e-5;
    } else {
      piece_.parameters[axis.name] = si;
    }
  }

  [[nodiscard]] Coefficient coefficient() const {
    Piece piece = piece_;
    const bool contracting = entry_->change == Change::contracting;
    piece.upstream = contracting ? large_ : small_;
    piece.downstream = contracting ? small_ : large_;
    auto result = Catalogue::built_in().coefficient(piece);
    if (auto* missing = std::get_if<Catalogue::Missing>(&result)) {
      ADD_FAILURE() << missing->message;
      return {};
    }
    return std::get<Coefficient>(result);
  }
  [[nodiscard]] double reynolds() const { return reynolds_; }

 private:
  void set_ratio(double ratio) {
    const double factor = std::sqrt(ratio);
    large_ = small_.shape() == duct::Shape::round
                 ? duct::Section::round(units::metres(small_.width_m() * factor))
                 : duct::Section::rectangular(units::metres(small_.width_m() * factor),
                                              units::metres(small_.height_m() * factor));
  }

  const Entry* entry_;
  Piece piece_{.upstream = duct::Section::round(units::metres(0.15)),
               .downstream = duct::Section::round(units::metres(0.15))};
  duct::Section small_ = duct::Section::round(units::metres(0.15));
  duct::Section large_ = duct::Section::round(units::metres(0.15));
  double reynolds_ = 1e7;
};

TEST(CatalogueFigures, ComeOutOfTheEvaluationAtEveryNode) {
  // Factors that are not 1 at 150 mm: the size tables over the size-free values.
  const std::map<std::string, double> scale{{"elbow/smooth-radius/round smacna4", 0.14 / 0.15},
                                            {"elbow/adjustable/round smacna4", 0.28 / 0.24},
                                            {"elbow/gored-3/round smacna4", 0.28 / 0.24},
                                            {"elbow/gored-4/round smacna4", 0.28 / 0.24},
                                            {"elbow/gored-5/round smacna4", 0.28 / 0.24}};
  // Resistance alone is printed; the exit is added.
  const std::map<std::string, double> plus{{"cap/louver blevins-grille", 1.0},
                                           {"cap/louver blevins-screen", 1.0}};
  std::size_t nodes_checked = 0;
  for (const Printed& table : printed()) {
    std::string data;
    const DataSet* set = find_set(table, data);
    ASSERT_NE(set, nullptr) << table.entry;
    const bool charged = set->role == Role::standard || set->role == Role::alternative;
    if (!charged || data != table.data || table.entry.rfind("table:", 0) == 0) {
      continue;
    }
    const std::string name = table.entry + " " + table.data;
    SCOPED_TRACE(name);
    const Entry& entry = *Catalogue::built_in().entry(table.entry);
    for (std::size_t flat = 0; flat < table.values.size(); ++flat) {
      PieceAt at(entry, *set);
      std::size_t rest = flat;
      std::string where;
      for (std::size_t i = table.axes.size(); i-- > 0;) {
        const double node = table.axes[i][rest % table.axes[i].size()];
        rest /= table.axes[i].size();
        at.set(set->table->axes[i], node);
        where += " " + set->table->axes[i].name + " " + std::to_string(node);
      }
      const Coefficient c = at.coefficient();
      const double factor = scale.count(name) != 0 ? scale.at(name) : 1.0;
      const double added = plus.count(name) != 0 ? plus.at(name) : 0.0;
      const double re_factor =
          set->reynolds && set->reynolds->table ? 1.0 : c.reynolds.at(at.reynolds());
      EXPECT_NEAR(c.value * re_factor, table.values[flat] * factor + added, 1e-6) << where;
      EXPECT_EQ(c.data_set, table.data);
      if (set->valid.empty()) {
        EXPECT_TRUE(c.outside.empty()) << where << ": " << c.outside.front().parameter;
      }
      ++nodes_checked;
    }
  }
  // Every node of every set that can be charged: none falls out of the walk.
  EXPECT_EQ(nodes_checked, 885U);
}

TEST(CatalogueFigures, TheSizeTableComesOutExactlyAtItsRadius) {
  // ashrae09 p. 21.26, stamped elbow r/D 1.5; nominal inch sizes are printed in rounded
  // millimetres.
  const std::vector<std::pair<double, double>> by_inch{
      {3, 0.30}, {4, 0.21}, {5, 0.16}, {6, 0.14}, {7, 0.12}, {8, 0.11}, {9, 0.11}, {10, 0.11}};
  for (const auto& [inches, value] : by_inch) {
    const auto section = duct::Section::round(units::inches(inches));
    const auto result = Catalogue::built_in().coefficient({.kind = Kind::elbow,
                                                           .type = "smooth-radius",
                                                           .source = "smacna4",
                                                           .upstream = section,
                                                           .downstream = section,
                                                           .angle_rad = 90.0 * kDegree});
    const auto& c = std::get<Coefficient>(result);
    EXPECT_NEAR(c.value, value, 1e-12) << inches << " in";
    EXPECT_EQ(c.status, Status::seen);
    EXPECT_TRUE(c.outside.empty());
  }
}

/// Values of a source that the catalogue has to hold, per published fitting.
struct Count {
  const char* fitting;
  std::vector<const char*> holders;  ///< entries, or `table:name`
  std::size_t values;
};

TEST(CatalogueFigures, NoneIsLost) {
  // Sets put together from the printed ones beside them; the default where the print ends or two
  // prints disagree.
  constexpr std::size_t kContractionNodes = 6;
  constexpr std::size_t kReducerNodes = 6 * 7;
  constexpr std::size_t kRainCapNodes = 15;
  const std::vector<Count> counts{
      {"round smooth elbow", {"elbow/smooth-radius/round"}, 6 + 10 + 8 + 6 + 6 + 6 + 5},
      {"angle factor", {"table:elbow-angle"}, 11 + 10 + 1 + 4},
      {"gored elbow",
       {"elbow/gored-3/round",
        "elbow/gored-4/round",
        "elbow/gored-5/round",
        "table:gored-elbow-size"},
       4 + 4 + 5 + 4 + 11 + 8 + 5},
      {"round mitered elbow", {"elbow/mitered/round"}, 6 * 6 + 6 + 8},
      {"adjustable elbow", {"elbow/adjustable/round"}, 2 + 7 + 7 + 3},
      {"rectangular smooth elbow", {"elbow/smooth-radius/rectangular"}, 10 + 12 + 12 + 55 + 18},
      {"rectangular mitered elbow", {"elbow/mitered/rectangular"}, 54 + 6 + 12 + 8},
      {"turning vanes", {"elbow/mitered-vaned/rectangular"}, 3 + 2 + 12},
      {"two close elbows", {"table:two-close-elbows"}, 20 + 20 + 7 + 4},
      {"conical expander", {"transition/gradual/expander-round"}, 9 * 14 + 3 * 5 * 8 + 24 + 24},
      {"pyramidal expander", {"transition/gradual/expander-pyramidal"}, 32},
      {"rectangular to round", {"transition/gradual/shape-change"}, 2 + 1},
      {"reducer", {"transition/gradual/reducer"}, 28 + 16 + 16 + 12 + kReducerNodes},
      {"abrupt expansion", {"transition/abrupt/expansion"}, 5},
      {"abrupt contraction", {"transition/abrupt/contraction"}, 4 + 5 + 5 + kContractionNodes},
      {"plain entry", {"entry/plain"}, 21 + 10 + 1 + 1 + 3},
      {"flanged entry", {"entry/flanged"}, 3 + 3},
      {"bellmouth", {"entry/bellmouth"}, 12 + 11 + 1 + 7},
      {"tapered hood",
       {"entry/tapered-hood/round", "entry/tapered-hood/rectangular"},
       10 + 10 + 45 + 2 + 1},
      {"abrupt exit", {"cap/open-end"}, 2},
      {"conical rain cap", {"cap/conical-rain-cap/round"}, 10 + 8 + kRainCapNodes},
      {"wall cap with flap", {"cap/wall-hood-flap"}, 2 + 2 + 3},
      {"louver", {"cap/louver"}, 8 + 8 + 2},
      {"bird screen", {"screen/mesh"}, 11 + 7 + 6},
      {"butterfly, round", {"damper/butterfly/round"}, 7 + 7 + 1},
      {"butterfly, rectangular", {"damper/butterfly/rectangular"}, 7},
      {"gravity flap", {"damper/backdraft-flap", "cap/end-flap"}, 7 + 1 + 2 + 1},
      {"baffle filter", {"filter/baffle"}, 8 + 2 + 3},
      {"mesh filter", {"filter/mesh"}, 2 + 3},
      {"wye 45", {"junction/wye-45"}, 48 + 48 + 11 + 6 + 6},
      {"wye 30", {"junction/wye-30"}, 48 + 48},
      {"tee 90", {"junction/tee-90"}, 48 + 8 + 12 + 1},
      {"diverging", {"junction/diverging"}, 10 + 1 + 2},
      {"flexible duct", {"flex/wire-helix"}, 56 + 6 + 9 + 3 + 2},
  };
  EXPECT_EQ(counts.size(), 34U);  // 33 fittings and the flexible duct
  for (const Count& count : counts) {
    std::size_t held = 0;
    for (const std::string holder : count.holders) {
      const bool support = holder.rfind("table:", 0) == 0;
      const SupportTable* table = support ? Catalogue::built_in().table(holder.substr(6)) : nullptr;
      const Entry* entry = support ? nullptr : Catalogue::built_in().entry(holder);
      ASSERT_TRUE(table != nullptr || entry != nullptr) << holder;
      for (const DataSet& set : support ? table->data : entry->data) {
        held += set.value_count();
      }
    }
    EXPECT_EQ(held, count.values) << count.fitting;
  }
}

// --- formulas --------------------------------------------------------------------------------

double by_formula(const char* key, const char* data, const std::map<std::string, double>& at) {
  const Entry& entry = *Catalogue::built_in().entry(key);
  const DataSet& set = *entry.find(data);
  PieceAt piece(entry, set);
  for (const auto& [name, value] : at) {
    Axis axis;
    axis.name = name;
    piece.set(axis, value);
  }
  return piece.coefficient().value;
}

TEST(CatalogueFormulas, MitreGivesTheComputedNodes) {
  // idelchik diagrams 6-5 and 6-7 as computed by an open solver, two decimals
  const std::vector<std::pair<double, double>> nodes{
      {20, 0.08}, {30, 0.16}, {45, 0.34}, {60, 0.55}, {75, 0.81}, {90, 1.19}};
  for (const auto& [angle, value] : nodes) {
    EXPECT_NEAR(
        by_formula("elbow/mitered/round", "idelchik", {{"angle", angle * kDegree}}), value, 0.006)
        << angle;
  }
  // The other rendering of A, at 90 degrees.
  EXPECT_NEAR(by_formula("elbow/mitered/round", "idelchik-hyperbola", {{"angle", 90 * kDegree}}),
              1.31,
              0.006);
}

TEST(CatalogueFormulas, RectangularMitreGivesTheTableButForOneNode) {
  const Entry& entry = *Catalogue::built_in().entry("elbow/mitered/rectangular");
  const PrintedTable& table = *entry.find("smacna4")->table;
  std::vector<std::string> differing;
  for (std::size_t t = 0; t < 6; ++t) {
    for (std::size_t a = 0; a < 9; ++a) {
      const double theta = table.axes[0].at[t][0];
      const double aspect = table.axes[1].at[a][0];
      const double value = by_formula("elbow/mitered/rectangular",
                                      "idelchik",
                                      {{"angle", theta * kDegree}, {"aspect_ratio", aspect}});
      const double row = table.values[t * 9 + a];
      const double half = row >= 1.0 ? 0.05 : 0.005;  // printed rounding
      if (std::abs(value - row) > half + 1e-9) {
        differing.push_back(std::to_string(theta) + " " + std::to_string(aspect));
      }
    }
  }
  // 20 degrees, H/W 1: 0.076 against the printed 0.07, which seems to be cut, not rounded.
  EXPECT_EQ(differing, std::vector<std::string>{"20.000000 1.000000"});
}

TEST(CatalogueFormulas, RectangularSmoothProductAgreesWithTheRecalledTable) {
  // B1 C1 against the 55 recalled values: within 0.005 from R/W 1 up, 0.016 at 0.75 and 0.044 at
  // 0.5 (the half of a last digit is in these figures).
  const Entry& entry = *Catalogue::built_in().entry("elbow/smooth-radius/rectangular");
  const PrintedTable& table = *entry.find("smacna3")->table;
  for (std::size_t r = 0; r < 5; ++r) {
    for (std::size_t a = 0; a < 11; ++a) {
      const double radius = table.axes[0].at[r][0];
      const double value =
          by_formula("elbow/smooth-radius/rectangular",
                     "idelchik",
                     {{"radius_ratio", radius}, {"aspect_ratio", table.axes[1].at[a][0]}});
      const double allowed = radius < 0.75 ? 0.0445 : (radius < 1.0 ? 0.0165 : 0.0085);
      EXPECT_NEAR(value, table.values[r * 11 + a], allowed) << radius << " " << a;
    }
  }
}

TEST(CatalogueFormulas, ScreenGivesThePrintedFigures) {
  const std::vector<std::pair<double, double>> rows{{0.30, 6.35},
                                                    {0.40, 3.03},
                                                    {0.50, 1.65},
                                                    {0.60, 0.96},
                                                    {0.65, 0.74},
                                                    {0.70, 0.57},
                                                    {0.75, 0.44},
                                                    {0.80, 0.32},
                                                    {0.90, 0.14}};
  for (const auto& [n, value] : rows) {
    EXPECT_NEAR(by_formula("screen/mesh", "idelchik-formula", {{"free_area", n}}), value, 0.006)
        << n;
  }
}

TEST(CatalogueFormulas, GrilleGivesTheComputedRow) {
  // Blevins 1984 as calculated by an open library; two or three figures
  const std::vector<std::array<double, 3>> rows{{0.2, 34, 0.5},
                                                {0.3, 14, 0.5},
                                                {0.4, 7.1, 0.05},
                                                {0.5, 4.0, 0.05},
                                                {0.6, 2.33, 0.005},
                                                {0.7, 1.35, 0.005},
                                                {0.8, 0.72, 0.005},
                                                {0.9, 0.30, 0.005}};
  for (const auto& [n, value, half] : rows) {
    EXPECT_NEAR(law_value(Law::grille_sharp_edged, {.first = n}), value, half) << n;
    // As a terminal: the outlet jet 1/n^2 and a contraction.
    EXPECT_NEAR(by_formula("cap/louver", "composed", {{"free_area", n}}),
                1.0 / (n * n) + 0.5 * (1.0 - n) / (n * n),
                1e-9);
  }
}

TEST(CatalogueFormulas, BordaCarnotGivesTheComputedRow) {
  const std::vector<std::pair<double, double>> rows{
      {1.5, 0.111}, {2, 0.25}, {4, 0.562}, {6, 0.694}, {10, 0.81}};
  for (const auto& [ratio, value] : rows) {
    EXPECT_NEAR(by_formula("transition/abrupt/expansion", "borda-carnot", {{"area_ratio", ratio}}),
                value,
                0.00051);
  }
}

TEST(CatalogueFormulas, BendPowersMeetTheTableButForThreeNodes) {
  // idelchik B1: the two powers (recalled) against the table (seen), two decimals. At 0.5, 0.6 and
  // 0.9 the source's own two forms differ by 0.7, 2.2 and 2.4 %.
  const std::vector<std::pair<double, double>> rows{{0.5, 1.18},
                                                    {0.6, 0.77},
                                                    {0.7, 0.51},
                                                    {0.8, 0.37},
                                                    {0.9, 0.28},
                                                    {1.0, 0.21},
                                                    {1.25, 0.19},
                                                    {1.5, 0.17},
                                                    {2.0, 0.15}};
  std::vector<double> differing;
  for (const auto& [ratio, value] : rows) {
    const double power = law_value(Law::bend_radius_power, {.first = ratio});
    if (std::abs(power - value) > 0.005) {
      differing.push_back(ratio);
      EXPECT_NEAR(power / value, 1.0, 0.025) << ratio;
    }
  }
  EXPECT_EQ(differing, (std::vector<double>{0.5, 0.6, 0.9}));
}

TEST(CatalogueFormulas, ExpanderDepartsFromTheTableAsStated) {
  // Ratio of the formula to the idelchik table: 1.7 to 2.9 at 10 to 20 degrees, 1.17 to 1.30 at 30,
  // 0.78 to 0.89 at 60 to 90 from ratio 2, within 8 % at 180.
  const Entry& entry = *Catalogue::built_in().entry("transition/gradual/expander-round");
  const PrintedTable& table = *entry.find("idelchik")->table;
  const auto row = [&](double ratio, double theta) {
    for (std::size_t r = 0; r < table.axes[0].at.size(); ++r) {
      for (std::size_t t = 0; t < table.axes[1].at.size(); ++t) {
        if (table.axes[0].at[r][0] == ratio && table.axes[1].at[t][0] == theta) {
          return table.values[r * table.axes[1].at.size() + t];
        }
      }
    }
    return 0.0;
  };
  // The table has two decimals and the statement whole percents, so each bound is met within those.
  const auto share = [&](double ratio, double theta, double rounding) {
    return law_value(Law::expander_exponential, {.first = theta * kDegree, .second = 1.0 / ratio}) /
           (row(ratio, theta) + rounding);
  };
  for (const double ratio : {0.1, 0.2, 0.25, 0.3, 0.4, 0.5}) {
    for (const double theta : {10.0, 12.0, 14.0, 16.0, 20.0}) {
      EXPECT_GT(share(ratio, theta, -0.005), 1.65) << ratio << " " << theta;
      EXPECT_LT(share(ratio, theta, 0.005), 2.95) << ratio << " " << theta;
    }
    EXPECT_GT(share(ratio, 30.0, -0.005), 1.165) << ratio;
    EXPECT_LT(share(ratio, 30.0, 0.005), 1.305) << ratio;
    for (const double theta : {60.0, 90.0}) {
      EXPECT_GT(share(ratio, theta, -0.005), 0.775) << ratio << " " << theta;
      EXPECT_LT(share(ratio, theta, 0.005), 0.895) << ratio << " " << theta;
    }
    EXPECT_GT(share(ratio, 180.0, -0.005), 0.915) << ratio;
    EXPECT_LT(share(ratio, 180.0, 0.005), 1.085) << ratio;
  }
}

TEST(CatalogueFormulas, ConvergingJunctionsGiveTheComputedTables) {
  const std::map<std::string, double> angles{
      {"junction/wye-45", 45.0}, {"junction/wye-30", 30.0}, {"junction/tee-90", 90.0}};
  std::size_t nodes = 0;
  for (const Printed& table : printed()) {
    const auto angle = angles.find(table.entry);
    if (angle == angles.end() || (table.data != "branch-table" && table.data != "straight-table")) {
      continue;
    }
    const bool branch = table.data == "branch-table";
    for (std::size_t i = 0; i < table.values.size(); ++i) {
      const auto& flows = table.axes.back();
      const double flow = flows[i % flows.size()];
      const double area = table.axes.size() == 2 ? table.axes[0][i / flows.size()] : 1.0;
      const JunctionLoss loss =
          converging_junction({.angle = fitting::junction_angle(angle->second * kDegree),
                               .area_ratio = area,
                               .flow_ratio = flow});
      EXPECT_NEAR(branch ? loss.branch : loss.straight, table.values[i], 0.0051)
          << table.entry << " " << table.data << " area ratio " << area << " flow ratio " << flow;
      ++nodes;
    }
  }
  EXPECT_EQ(nodes, 48U * 5U + 8U);
}

TEST(CatalogueFormulas, OlderTeeAndDivergingWyeGiveThePrintedFigures) {
  // "at As/Ac 1, q 0.5 branch 0.45 against 0.41"
  const JunctionState half{
      .angle = fitting::junction_angle(90.0 * kDegree), .area_ratio = 1.0, .flow_ratio = 0.5};
  EXPECT_NEAR(converging_tee_older(half).branch, 0.45, 0.005);
  EXPECT_NEAR(converging_junction(half).branch, 0.41, 0.005);
  // The two forms of the straight agree within 0.05.
  for (double q = 0.0; q <= 1.0; q += 0.05) {
    const JunctionState state{
        .angle = fitting::junction_angle(90.0 * kDegree), .area_ratio = 0.5, .flow_ratio = q};
    EXPECT_NEAR(converging_tee_older(state).straight, converging_junction(state).straight, 0.051);
  }
  // Diverging, 45 degrees, Vs/Vc 0.833: 0.516.
  EXPECT_NEAR(diverging_junction({.angle = fitting::junction_angle(45.0 * kDegree),
                                  .area_ratio = 0.5,
                                  .flow_ratio = 0.4165})
                  .branch,
              0.516,
              0.0006);
}

TEST(CatalogueFormulas, BendReynoldsLawGivesThePrintedFigures) {
  // idelchik 3rd ed. p. 357, computed from the printed powers
  using Law = ReynoldsFactor::Law;
  EXPECT_NEAR(ReynoldsFactor::law(Law::bend_sharp).at(4e4), 1.11, 1e-12);
  EXPECT_NEAR(ReynoldsFactor::law(Law::bend_tight).at(1e5), 5.45 / std::pow(1e5, 0.118), 1e-12);
  EXPECT_NEAR(ReynoldsFactor::law(Law::bend_smooth).at(1e5), 11.5 / std::pow(1e5, 0.19), 1e-12);
  for (const Law law : {Law::bend_sharp, Law::bend_tight, Law::bend_smooth}) {
    EXPECT_EQ(ReynoldsFactor::law(law).at(3e5), 1.0);
    EXPECT_EQ(ReynoldsFactor::law(law).at(1e6), 1.0);
  }
}

}  // namespace
}  // namespace ductledger::fitting
