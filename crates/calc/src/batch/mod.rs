//! How much of each: batch size, loss, scales, the weigh list and cost.

mod cost;
mod plan;
mod slider;
mod weigh;

pub use cost::{CostFigures, cost};
pub use plan::{BatchFigures, BatchPlan, BatchSize, PlanProblem, Scale, Vessel, batch_code};
pub use slider::{SLIDER_HIGH_G, SLIDER_LOW_G, SLIDER_MARKS_G, slider_mass, slider_place};
pub use weigh::{
    WEIGHING_TOLERANCE, WEIGHING_TOLERANCE_STRICT, WeighLine, WeighList, assign_scale, band,
    smallest_weighable, weigh,
};
