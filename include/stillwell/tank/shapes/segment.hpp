#pragma once
// The circle that water fills from below: every lying vessel comes back to it. Bare numbers in metres and
// square metres; the strong types end at the factories of the shapes.

namespace stillwell::geometry {

/// x − sin x for x in [0, 2π], without the cancellation that makes the plain difference worthless near zero.
double angle_minus_sine(double x);

/// The angle at a circle's centre between straight down and the end of the chord that stands `depth` above
/// the lowest point: 0 at the bottom, π at the top. Clamped outside.
double wetted_angle(double radius, double depth);

/// Area of the circle below that chord. Good to the last digits from an empty circle to a full one.
double segment_area(double radius, double depth);

/// Length of that chord; zero outside the circle.
double chord(double radius, double depth);

}  // namespace stillwell::geometry
