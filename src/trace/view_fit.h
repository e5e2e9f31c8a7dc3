#pragma once

#include <Eigen/Core>
#include <span>
#include <vector>

#include "sight.h"

namespace seamwright::trace {

// Unknowns in this order: the camera's eleven numbers; the print (scale, stretch along the strips against across, by
// how much every black square is larger on each side, mm); then for each strip where it lies (x, y, heading) and its
// own scale. The first strip lies at the origin with heading 0 and has only its own scale.
inline constexpr Eigen::Index print_at = camera_numbers;
inline constexpr Eigen::Index strips_at = print_at + 3;

/// A mark that takes part in the fit.
struct UsedMark {
    const FoundMark* mark = nullptr;
    std::size_t strip = 0;  ///< place in the list of strips
    bool used = true;
};

/// What is expected of an unknown before the picture is looked at.
struct Expected {
    Eigen::Index unknown = 0;
    double value = 0.0, scatter = 1.0;
};

struct FitState {
    Eigen::VectorXd unknowns;
    Eigen::MatrixXd normal;  ///< of the last step: the inverse of the covariance
    double cost = 0.0;       ///< half-open: squares near, straight far off (Huber)
    bool settled = false;
};

class ViewFit {
  public:
    ViewFit(Frame frame, std::vector<UsedMark> marks, std::size_t strips, std::span<const Taped> taped);

    std::vector<UsedMark> marks;
    std::vector<Expected> expected;

    Eigen::Index unknowns() const { return strips_at + 4 * static_cast<Eigen::Index>(strips_) - 3; }
    /// First unknown of a strip: x, y, heading, own scale; of the first strip its own scale is meant by index 3.
    Eigen::Index strip_at(std::size_t strip) const { return strips_at + 4 * static_cast<Eigen::Index>(strip) - 3; }

    /// A first guess for a camera of this focal length: the tilt from how the marks' size runs over the picture.
    Eigen::VectorXd start(double focal_px) const;
    /// The nearest valley from there (Levenberg and Marquardt, Huber's loss).
    FitState settle(Eigen::VectorXd from) const;
    /// Root mean square distance of a mark's corners from where they ought to be.
    std::vector<double> mark_residuals_px(const Eigen::VectorXd& unknowns) const;
    /// Sum of squares over scatter², and how many more there are of them than unknowns.
    double squares(const Eigen::VectorXd& unknowns, double& spare) const;
    /// Middle of a mark on the bench.
    Point mark_middle(const Eigen::VectorXd& unknowns, const UsedMark& mark) const;
    Frame frame() const { return frame_; }

  private:
    double evaluate(const Eigen::VectorXd& unknowns, Eigen::MatrixXd* normal, Eigen::VectorXd* pull) const;
    void place_strips(Eigen::VectorXd& unknowns) const;

    Frame frame_;
    std::size_t strips_ = 0;
    std::vector<Taped> taped_;
};

}  // namespace seamwright::trace
