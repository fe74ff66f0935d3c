#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <vector>

#include "signal/cycle/fold.hpp"

// An extreme is read from a small polynomial over the cells around it, as far as the samples let a
// polynomial stand: wide over a smooth crest in noise, a single cell beside a switching edge, two
// straight lines at a cusp such as the zero of |sin|. Everything that chooses (the cell, the width,
// the place within) comes from one half of the cycles; only the value comes from the other half, so
// the noise that made a place look extreme is not in the figure.

namespace lampbeat::signal {
namespace {

/// Misfit of a polynomial that is let pass although the samples can tell, relative to the range.
constexpr double tolerated_misfit = 1.5e-4;
/// A polynomial of second order describes no more than an eighth of a cycle to either side.
constexpr double widest_reach = 0.125;
/// Part of the range by which a step counts as a switching edge.
constexpr double edge_step = 0.05;
/// Samples a reading may waste: the variance of the value at a place against that of the plain
/// mean. Nine at the end of a parabola; more means extrapolation.
constexpr double most_leverage = 20.0;
/// Cells to either side over which the flanks of a cusp are straight.
constexpr std::size_t flank = 4;
constexpr double widest_flank = 0.21;

enum class Shape { line, parabola, bowl };  ///< in u; in u; in u and v

using Vector = Eigen::Matrix<double, Eigen::Dynamic, 1, 0, 6, 1>;
using Matrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, 0, 6, 6>;

int terms(Shape shape) { return shape == Shape::line ? 2 : shape == Shape::parabola ? 3 : 6; }

/// A cell and how many cells away from the extreme one it lies.
struct Neighbour {
  std::size_t cell = 0;
  double du = 0.0;
  double dv = 0.0;
};

/// Place relative to the extreme cell's centre, in cell widths along and across.
struct Spot {
  double u = 0.0;
  double v = 0.0;
};

Vector basis_at(Shape shape, Spot at) {
  Vector x(terms(shape));
  x(0) = 1.0;
  x(1) = at.u;
  if (shape != Shape::line) x(2) = at.u * at.u;
  if (shape == Shape::bowl) {
    x(3) = at.v;
    x(4) = at.v * at.v;
    x(5) = at.u * at.v;
  }
  return x;
}

/// The basis averaged over the samples of a cell: a cell's mean is then the polynomial's mean over
/// it, and wide cells do not flatten a crest.
Vector basis_over(Shape shape, const Neighbour& at, const CellSums& sums, bool along_first) {
  const double n = sums.count;
  const double u = (along_first ? sums.u : sums.v) / n;
  const double uu = (along_first ? sums.uu : sums.vv) / n;
  const double v = (along_first ? sums.v : sums.u) / n;
  const double vv = (along_first ? sums.vv : sums.uu) / n;
  Vector x(terms(shape));
  x(0) = 1.0;
  x(1) = at.du + u;
  if (shape != Shape::line) x(2) = at.du * at.du + 2.0 * at.du * u + uu;
  if (shape == Shape::bowl) {
    x(3) = at.dv + v;
    x(4) = at.dv * at.dv + 2.0 * at.dv * v + vv;
    x(5) = at.du * at.dv + at.du * v + at.dv * u + sums.uv / n;
  }
  return x;
}

struct Polynomial {
  Shape shape = Shape::line;
  bool solved = false;
  Vector coefficient;
  Matrix inverse;        ///< of the normal equations
  double misfit = 0.0;   ///< weighted sum of squared residuals
  double weight = 0.0;   ///< samples in all
  double freedom = 0.0;  ///< cells beyond the terms

  double at(Spot s) const { return basis_at(shape, s).dot(coefficient); }
  double leverage(Spot s) const {
    const Vector x = basis_at(shape, s);
    return x.dot(inverse * x);
  }
};

Polynomial fit(const Fold& fold, unsigned half, Shape shape, bool along_first,
               const std::vector<Neighbour>& cells) {
  Polynomial p;
  p.shape = shape;
  const int k = terms(shape);
  Matrix normal = Matrix::Zero(k, k);
  Vector right = Vector::Zero(k);
  for (const Neighbour& c : cells) {
    const CellSums& sums = fold.half[half][c.cell];
    const Vector x = basis_over(shape, c, sums, along_first);
    normal += sums.count * x * x.transpose();
    right += sums.value * x;
    p.weight += sums.count;
  }
  // Scaled to a unit diagonal, so that "singular" means the geometry and not the units.
  Vector scale(k);
  for (int i = 0; i < k; ++i) {
    if (!(normal(i, i) > 0.0)) return p;
    scale(i) = 1.0 / std::sqrt(normal(i, i));
  }
  const Matrix scaled = scale.asDiagonal() * normal * scale.asDiagonal();
  Eigen::FullPivLU<Matrix> lu(scaled);
  lu.setThreshold(1e-10);
  if (!lu.isInvertible()) return p;
  p.inverse = scale.asDiagonal() * lu.inverse() * scale.asDiagonal();
  p.coefficient = p.inverse * right;
  p.freedom = static_cast<double>(cells.size()) - k;
  for (const Neighbour& c : cells) {
    const CellSums& sums = fold.half[half][c.cell];
    const double r = sums.mean() - basis_over(shape, c, sums, along_first).dot(p.coefficient);
    p.misfit += sums.count * r * r;
  }
  p.solved = true;
  return p;
}

/// Root mean square misfit beyond what the noise explains.
double model_error(const Fold& fold, const Polynomial& p) {
  const double excess = p.misfit - fold.noise_sd * fold.noise_sd * p.freedom;
  return excess > 0.0 ? std::sqrt(excess / p.weight) : 0.0;
}

/// Whether the noise explains a polynomial's misfit, to within `strictness` standard deviations.
bool stands(const Fold& fold, const Polynomial& p, double strictness) {
  if (!p.solved || p.freedom < 2.0) return false;
  const double tolerated = tolerated_misfit * fold.range;
  return p.misfit <=
         fold.noise_sd * fold.noise_sd * (p.freedom + strictness * std::sqrt(2.0 * p.freedom)) +
             tolerated * tolerated * p.weight;
}

/// Cells around an extreme one, along the first rhythm or along the second.
class Surroundings {
 public:
  Surroundings(const Fold& fold, std::size_t cell, bool along_first,
               std::size_t most = finest_division)
      : fold_(fold), cell_(cell), along_first_(along_first) {
    const double reach = static_cast<double>(length()) * widest_reach;
    for (int side : {-1, +1}) {
      auto& list = side < 0 ? before_ : after_;
      // Commensurate sampling leaves empty cells between the filled ones; enough for a flank are
      // looked for even when they lie further away.
      for (std::size_t d = 1; d <= length() / 2 && list.size() < most; ++d) {
        const bool near = static_cast<double>(d) <= reach;
        if (!near && list.size() >= flank) break;
        const std::size_t other = step(side, d, 0);
        if (!fold.usable(other)) continue;
        list.push_back({other, side * static_cast<double>(d), 0.0});
        if (near || list.size() <= 2) crest_ = std::max(crest_, list.size());
      }
    }
  }
  /// How many cells to either side a crest may cover.
  std::size_t crest() const { return crest_; }
  std::size_t length() const {
    return along_first_ ? fold_.resolution.first : fold_.resolution.second;
  }
  std::size_t width() const {
    return along_first_ ? fold_.resolution.second : fold_.resolution.first;
  }
  const std::vector<Neighbour>& before() const { return before_; }  ///< nearest first
  const std::vector<Neighbour>& after() const { return after_; }

  /// The extreme cell with so many filled ones before and after it; empty when there are not.
  std::vector<Neighbour> strip(std::size_t before, std::size_t after) const {
    std::vector<Neighbour> cells;
    if (before > before_.size() || after > after_.size()) return cells;
    cells.push_back({cell_, 0.0, 0.0});
    cells.insert(cells.end(), before_.begin(),
                 before_.begin() + static_cast<std::ptrdiff_t>(before));
    cells.insert(cells.end(), after_.begin(), after_.begin() + static_cast<std::ptrdiff_t>(after));
    return cells;
  }
  /// All filled cells at most so far away along and across.
  std::vector<Neighbour> patch(std::size_t along, std::size_t across) const {
    std::vector<Neighbour> cells;
    for (auto i = -static_cast<std::ptrdiff_t>(along); i <= static_cast<std::ptrdiff_t>(along);
         ++i) {
      for (auto j = -static_cast<std::ptrdiff_t>(across); j <= static_cast<std::ptrdiff_t>(across);
           ++j) {
        const std::size_t other = step(i < 0 ? -1 : 1, static_cast<std::size_t>(std::abs(i)), j);
        if (fold_.usable(other)) {
          cells.push_back({other, static_cast<double>(i), static_cast<double>(j)});
        }
      }
    }
    return cells;
  }

 private:
  std::size_t step(int side, std::size_t distance, std::ptrdiff_t across) const {
    const std::size_t columns = fold_.resolution.first;
    const std::size_t i = cell_ % columns;
    const std::size_t j = cell_ / columns;
    const auto moved = [](std::size_t from, std::ptrdiff_t by, std::size_t n) {
      const auto m = static_cast<std::ptrdiff_t>(n);
      return static_cast<std::size_t>(((static_cast<std::ptrdiff_t>(from) + by) % m + m) % m);
    };
    const auto along = side * static_cast<std::ptrdiff_t>(distance);
    const std::size_t column = moved(i, along_first_ ? along : across, columns);
    const std::size_t row = moved(j, along_first_ ? across : along, fold_.resolution.second);
    return row * columns + column;
  }

  const Fold& fold_;
  std::size_t cell_;
  bool along_first_;
  std::size_t crest_ = 0;
  std::vector<Neighbour> before_, after_;
};

/// A cell whose samples scatter far beyond the noise holds a switching edge.
bool holds_edge(const Fold& fold, std::size_t cell) {
  const Fold::Scatter s = fold.scatter(cell);
  const double variance = fold.noise_sd * fold.noise_sd;
  const double edge = edge_step * fold.range;
  return s.sum_of_squares > variance * (s.freedom + 4.0 * std::sqrt(2.0 * s.freedom)) + edge * edge;
}

/// The extreme cell of one half. Cells with few samples must be extreme by more, and a cell with an
/// edge gives way to a neighbour that is all but as extreme: which side of the edge its samples
/// fell on differs between the halves.
std::size_t extreme_cell(const Fold& fold, unsigned half, double sign) {
  const auto& cells = fold.half[half];
  const auto worth = [&](std::size_t i) {
    return sign * cells[i].mean() - fold.noise_sd / std::sqrt(cells[i].count);
  };
  const auto gives_way = [&](std::size_t i) {
    if (!holds_edge(fold, i)) return false;
    const double enough =
        worth(i) - edge_step * fold.range - 3.0 * fold.noise_sd / std::sqrt(cells[i].count);
    for (const bool along_first : {true, false}) {
      if (!along_first && fold.resolution.second == 1) continue;
      const Surroundings around(fold, i, along_first, 2);
      for (const auto* side : {&around.before(), &around.after()}) {
        for (const Neighbour& n : *side) {
          if (!holds_edge(fold, n.cell) && worth(n.cell) >= enough) return true;
        }
      }
    }
    return false;
  };
  std::size_t best = fold.resolution.cells();
  double most = -std::numeric_limits<double>::infinity();
  std::size_t best_of_all = 0;
  double most_of_all = most;
  for (std::size_t i = 0; i < fold.resolution.cells(); ++i) {
    if (!fold.usable(i)) continue;
    const double value = worth(i);
    if (value > most_of_all) {
      most_of_all = value;
      best_of_all = i;
    }
    if (value > most && !gives_way(i)) {
      most = value;
      best = i;
    }
  }
  return best < fold.resolution.cells() ? best : best_of_all;
}

/// Where a polynomial is most extreme: at its vertex when that lies among the cells it was fitted
/// to, else within the extreme cell, whose neighbours were found less extreme.
Spot most_extreme(const Polynomial& p, double sign, const std::vector<Neighbour>& cells) {
  double u_low = 0, u_high = 0, v_low = 0, v_high = 0;
  for (const Neighbour& at : cells) {
    u_low = std::min(u_low, at.du);
    u_high = std::max(u_high, at.du);
    v_low = std::min(v_low, at.dv);
    v_high = std::max(v_high, at.dv);
  }
  std::vector<Spot> candidates;
  const auto& c = p.coefficient;
  const auto add_if_inside = [&](Spot vertex) {
    if (vertex.u >= u_low && vertex.u <= u_high && vertex.v >= v_low && vertex.v <= v_high) {
      candidates.push_back(vertex);
    }
  };
  constexpr std::array<double, 3> across = {0.0, -0.5, 0.5};
  if (p.shape == Shape::bowl) {
    const double determinant = 4.0 * c(2) * c(4) - c(5) * c(5);
    if (determinant > 0.0) {
      add_if_inside({(c(5) * c(3) - 2.0 * c(4) * c(1)) / determinant,
                     (c(5) * c(1) - 2.0 * c(2) * c(3)) / determinant});
    }
    for (const double u : across) {
      for (const double v : across) candidates.push_back({u, v});
    }
  } else {
    if (c(2) != 0.0) add_if_inside({-c(1) / (2.0 * c(2)), 0.0});
    for (const double u : across) candidates.push_back({u, 0.0});
  }
  return *std::max_element(candidates.begin(), candidates.end(), [&](const Spot& a, const Spot& b) {
    return sign * p.at(a) < sign * p.at(b);
  });
}

struct Candidate {
  Reading reading;
  double risk = std::numeric_limits<double>::infinity();  ///< variance and squared model error
};

class ExtremeReader {
 public:
  ExtremeReader(const Fold& fold, unsigned chosen_in, double sign)
      : fold_(fold),
        chosen_in_(chosen_in),
        sign_(sign),
        cell_(extreme_cell(fold, chosen_in, sign)) {}

  Reading read() {
    consider_cell();
    const Surroundings along(fold_, cell_, true);
    const bool torus = fold_.resolution.second > 1;
    consider_strips(along, true);
    if (torus) {
      const Surroundings across(fold_, cell_, false);
      consider_strips(across, false);
      consider_patches(along);
    }
    consider_cusp(along, true);
    if (!torus) {
      if (const auto series = read_series(fold_, chosen_in_, sign_)) best_ = {*series, 0.0};
    }
    best_.reading.value += fold_.mean;
    return best_.reading;
  }

 private:
  unsigned read_in() const { return 1 - chosen_in_; }

  void consider(Reading reading, double error) {
    const double risk = reading.variance + error * error;
    if (risk < best_.risk) best_ = {reading, risk};
  }

  /// The cell as it stands. Beside its centre the cycle may rise above it by about a quarter of the
  /// step to a neighbour.
  void consider_cell() {
    const CellSums& sums = fold_.half[read_in()][cell_];
    const Surroundings along(fold_, cell_, true, 1);
    double step = 0.0;
    for (const auto* side : {&along.before(), &along.after()}) {
      if (side->empty()) continue;
      const double beside = fold_.half[chosen_in_][side->front().cell].mean();
      step = std::max(step, std::abs(fold_.half[chosen_in_][cell_].mean() - beside));
    }
    consider({sums.mean(), fold_.noise_sd * fold_.noise_sd / sums.count}, 0.25 * step);
  }

  bool consider_polynomial(Shape shape, bool along_first, const std::vector<Neighbour>& cells) {
    if (cells.empty()) return false;
    for (const Neighbour& c : cells) {
      if (c.cell != cell_ && holds_edge(fold_, c.cell)) return false;
    }
    const Polynomial chosen = fit(fold_, chosen_in_, shape, along_first, cells);
    if (!stands(fold_, chosen, 1.0)) return false;
    const Polynomial other = fit(fold_, read_in(), shape, along_first, cells);
    // Residuals say nothing about the fitted value, so that asking this half, too, favours none.
    if (!stands(fold_, other, 3.0)) return false;
    const Spot spot = most_extreme(chosen, sign_, cells);
    const double leverage = other.leverage(spot);
    if (leverage * other.weight > most_leverage) return false;
    const double variance = fold_.noise_sd * fold_.noise_sd;
    const double misfit = std::max(0.0, chosen.misfit / chosen.freedom - variance) * leverage;
    const double error = model_error(fold_, chosen);
    consider({other.at(spot), variance * leverage}, std::sqrt(misfit + error * error));
    return true;
  }

  void consider_strips(const Surroundings& around, bool along_first) {
    for (std::size_t h = 2; h <= around.crest(); h += std::max<std::size_t>(1, h / 3)) {
      consider_polynomial(Shape::parabola, along_first, around.strip(h, h));
      if (h >= 4) {
        consider_polynomial(Shape::parabola, along_first, around.strip(h, 0));
        consider_polynomial(Shape::parabola, along_first, around.strip(0, h));
      }
    }
  }

  void consider_patches(const Surroundings& around) {
    const auto reach = [](std::size_t n) {
      return std::max<std::size_t>(1,
                                   static_cast<std::size_t>(static_cast<double>(n) * widest_reach));
    };
    for (std::size_t a = 1; a <= reach(around.length()); a *= 2) {
      for (std::size_t b = 1; b <= reach(around.width()); b *= 2) {
        consider_polynomial(Shape::bowl, true, around.patch(a, b));
      }
    }
  }

  /// Two straight lines that meet beyond the cells: the zero of |sin|, the tip of a triangle.
  void consider_cusp(const Surroundings& around, bool along_first) {
    if (around.before().size() < flank || around.after().size() < flank) return;
    // Over more of the cycle than this, the flanks of any crest look straight.
    const double reach = (fold_.resolution.second > 1 ? widest_reach : widest_flank) *
                         static_cast<double>(around.length());
    if (-around.before()[flank - 1].du > reach || around.after()[flank - 1].du > reach) return;
    // A crest that a narrow parabola may well describe is not a cusp.
    const Polynomial crest =
        fit(fold_, chosen_in_, Shape::parabola, along_first, around.strip(2, 2));
    if (stands(fold_, crest, 3.0)) return;
    const std::vector<Neighbour> left(around.before().begin(), around.before().begin() + flank);
    const std::vector<Neighbour> right(around.after().begin(), around.after().begin() + flank);
    const Polynomial l = fit(fold_, chosen_in_, Shape::line, along_first, left);
    const Polynomial r = fit(fold_, chosen_in_, Shape::line, along_first, right);
    if (!l.solved || !r.solved) return;
    // Straight within the noise, or bent by no more than a fraction of what meets at the tip.
    const double rise = sign_ * l.coefficient(1);
    const double fall = -sign_ * r.coefficient(1);
    if (!(rise > 0.0 && fall > 0.0)) return;
    const double bend = 0.02 * std::min(rise, fall) * (right.back().du - left.back().du);
    for (const Polynomial* p : {&l, &r}) {
      const double variance = fold_.noise_sd * fold_.noise_sd;
      if (p->misfit >
          variance * (p->freedom + std::sqrt(2.0 * p->freedom)) + bend * bend * p->weight) {
        return;
      }
    }
    const double meet =
        (r.coefficient(0) - l.coefficient(0)) / (l.coefficient(1) - r.coefficient(1));
    if (!(meet >= left.front().du && meet <= right.front().du)) return;
    if (!tip_holds_cell(l, r, along_first, std::max(rise, fall))) return;
    const Spot spot{meet, 0.0};
    const double noise = fold_.noise_sd * fold_.noise_sd;
    const auto tip = [&](const Polynomial& a, const Polynomial& b) {
      return Reading{(a.at(spot) + b.at(spot)) / 2.0,
                     noise * (a.leverage(spot) + b.leverage(spot)) / 4.0};
    };
    // It must rise out of the noise above the cell it replaces.
    const Reading chosen = tip(l, r);
    const double gain = sign_ * (chosen.value - fold_.half[chosen_in_][cell_].mean());
    if (!(gain > 3.0 * std::sqrt(chosen.variance))) return;
    const Polynomial left_read = fit(fold_, read_in(), Shape::line, along_first, left);
    const Polynomial right_read = fit(fold_, read_in(), Shape::line, along_first, right);
    if (left_read.solved && right_read.solved) best_ = {tip(left_read, right_read), 0.0};
  }

  /// Whether the extreme cell itself lies on the two flanks. Below a rounded crest straight flanks
  /// also meet, but above the crest, where the light never is.
  bool tip_holds_cell(const Polynomial& left, const Polynomial& right, bool along_first,
                      double steepest) const {
    constexpr int points = 9;
    constexpr double tolerated = 0.15;  // of the step from cell to cell
    const CellSums& own = fold_.half[chosen_in_][cell_];
    const double centre = (along_first ? own.u : own.v) / own.count;
    const double square = (along_first ? own.uu : own.vv) / own.count;
    const double spread = std::sqrt(12.0 * std::max(0.0, square - centre * centre));
    double expected = 0.0;
    for (int i = 0; i < points; ++i) {
      const Spot at{centre + spread * ((i + 0.5) / points - 0.5), 0.0};
      expected += sign_ * std::min(sign_ * left.at(at), sign_ * right.at(at)) / points;
    }
    return std::abs(own.mean() - expected) <=
           3.0 * fold_.noise_sd / std::sqrt(own.count) + tolerated * steepest;
  }

  const Fold& fold_;
  unsigned chosen_in_;
  double sign_;
  std::size_t cell_;
  Candidate best_;
};

}  // namespace

Reading read_extreme(const Fold& fold, unsigned chosen_in, double sign) {
  return ExtremeReader(fold, chosen_in, sign).read();
}

}  // namespace lampbeat::signal
