//! How heat lies in the walls, as text: panels side by side, depth across, temperature upward.

use super::canvas::Canvas;
use super::{LEFT, cut, plain};
use crate::axis::ValueAxis;
use crate::profile::{ProfilePicture, Wall};
use crate::text;

/// Rows of the plot.
const ROWS: usize = 12;
/// Columns between two panels.
const BETWEEN: usize = 4;

/// The walls in so many columns (kept between 48 and 200); every line ends with a line feed.
#[must_use]
pub fn profile(picture: &ProfilePicture, columns: usize) -> String {
    let picture = picture.cleaned();
    let columns = columns.clamp(48, 200);
    let count = picture.walls.len();
    if count == 0 {
        return "There is nothing to draw.\n".to_owned();
    }
    let each = (columns.saturating_sub(LEFT + BETWEEN * (count - 1)) / count).max(8);
    let values = picture.values_c();
    let all = values.iter().copied().chain([0.0, picture.store_above_c]);
    let axis = ValueAxis::covering(all.clone(), 4.0, 0.0, ROWS as f64).tightened(all, 4.0);
    let (mut plot, mut foot) = (Canvas::new(columns, ROWS), Canvas::new(columns, 2));
    let mut head = Canvas::new(columns, 1);
    plot.value_axis(&axis, LEFT);
    for (number, wall) in picture.walls.iter().enumerate() {
        let left = LEFT + number * (each + BETWEEN);
        let last = number + 1 == count;
        head.write(left - 1, 0, &cut(&plain(&named(wall)), each + if last { 1 } else { BETWEEN }));
        if number > 0 {
            plot.column(left - 1, '│');
        }
        draw(&mut plot, wall, &axis, (left, each), picture.store_above_c);
        depths(&mut foot, wall, (left, each));
    }
    let key = "▀▄ middle   ▒ 1 chance in 2   ░ 9 chances in 10";
    let line = format!("┄ {}, above which heat counts as in store", text::celsius(picture.store_above_c));
    let key = format!("{}\n{}\n", cut(key, columns), cut(&plain(&line), columns));
    format!("{key}{}{}{}", head.lines(), plot.lines(), foot.lines())
}

fn named(wall: &Wall) -> String {
    match wall.temperature_c.at(0) {
        Some(face) => format!("{}: {} at the face", wall.name, text::celsius(face.p50)),
        None => wall.name.clone(),
    }
}

fn draw(plot: &mut Canvas, wall: &Wall, axis: &ValueAxis, (left, each): (usize, usize), store_above_c: f64) {
    for column in 0..each {
        if store_above_c.is_finite() {
            plot.mark(left + column, axis.y_px(store_above_c), '┄');
        }
        let depth_mm = wall.thickness_mm() * column as f64 / (each - 1) as f64;
        if let Some(spread) = wall.temperature_c.at_min(&wall.depths_mm, depth_mm) {
            plot.spread(left + column, axis, &spread);
        }
    }
}

/// The foot of a panel: joints of layers, and how deep they lie.
fn depths(foot: &mut Canvas, wall: &Wall, (left, each): (usize, usize)) {
    foot.write(left - 1, 0, &format!("└{}", "─".repeat(each)));
    foot.write(left - 1, 1, "0");
    let mut free = left + 1;
    for layer in &wall.layers {
        let share = (layer.to_mm / wall.thickness_mm()).clamp(0.0, 1.0);
        let column = left + (share * (each - 1) as f64).round() as usize;
        foot.write(column, 0, "┴");
        let last = layer.to_mm + 0.5 >= wall.thickness_mm();
        let words = format!("{}{}", text::figure(layer.to_mm, 0), if last { " mm" } else { "" });
        let wide = words.chars().count();
        let from = (column + 2).saturating_sub(wide).min(left + each - wide.min(each));
        let room_for_last = left + each - 7;
        if from >= free && (last || from + wide < room_for_last) {
            foot.write(from, 1, &words);
            free = from + wide + 1;
        }
    }
}
