//! The mixed model by itself: varieties as independent random blocks against a border of fixed trial effects.
//!
//! y = Xτ + Zu + r, Var(u) = G, Var(r) = R. X is the *border*: one indicator column a trial, then a few
//! dense columns; Z and G are block-diagonal by variety. Given τ, varieties are independent, so every
//! quantity is a sum over varieties of work on q × q matrices plus one dense J × J factor of
//! S = X′V⁻¹X. Variances are found by restricted maximum likelihood (Patterson & Thompson 1971,
//! Biometrika 58:545–554) with average-information steps (Gilmour, Thompson & Cullis 1995, Biometrics
//! 51:1440–1450).
//!
//! The files: [`terms`] says which effects are in; [`design`] lays rows out by variety; `small` and `border` hold
//! the dense kernels, `gather` the sparse ones; `eliminate` takes a variety's effects out; [`arrow`] solves at
//! given variances, [`derivatives`] gives gradient and average information with `traces`; [`optimise`] finds the
//! variances from a `start` by one `step` after another, [`several`] from more than one; [`effects`]
//! gives predictions and the error covariance of any linear functional, [`residuals`] their residuals,
//! [`variance_law`] and [`sensitivity`] what not knowing the variances adds to it.
//!
//! It knows numbers only: no network, names, units or files. It is a crate of its own so that its loops can be
//! compiled for speed in a page whose every other byte is compiled for size.

pub mod arrow;
mod border;
mod dense;
mod dense_share;
pub mod derivatives;
pub mod design;
pub mod effects;
mod eliminate;
mod gather;
pub mod optimise;
pub mod residuals;
pub mod sensitivity;
pub mod several;
pub mod small;
mod start;
mod step;
pub mod terms;
mod traces;
pub mod variance_law;
pub mod variances;
