//! Writing SVG: escaped, balanced, rounded, and without a figure that is not finite.
//!
//! A picture is drawn top down with a cursor, so its height is known last: [`Svg`] collects the body and
//! [`Svg::finish`] puts the head before it.

use crate::theme::{Ink, Look};
use std::fmt::Write as _;

/// A start tag being put together.
pub(crate) struct Tag {
    name: &'static str,
    attributes: String,
    sound: bool,
}

impl Tag {
    pub(crate) fn new(name: &'static str) -> Self {
        Self { name, attributes: String::new(), sound: true }
    }

    /// A figure, to a hundredth. A tag with a figure that is not finite is not written.
    pub(crate) fn num(mut self, name: &str, value: f64) -> Self {
        if value.is_finite() {
            let _ = write!(self.attributes, " {name}=\"{}\"", rounded(value, 2));
        } else {
            self.sound = false;
        }
        self
    }

    /// A place or a size in the picture, to a tenth of a pixel.
    pub(crate) fn px(self, name: &str, value_px: f64) -> Self {
        if value_px.is_finite() { self.set(name, &rounded(value_px, 1)) } else { self.num(name, value_px) }
    }

    pub(crate) fn set(mut self, name: &str, value: &str) -> Self {
        let _ = write!(self.attributes, " {name}=\"{}\"", escaped(value));
        self
    }

    pub(crate) fn stroke(self, colour: &str, width_px: f64) -> Self {
        self.set("stroke", colour).num("stroke-width", width_px)
    }
}

/// Where text is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

/// How a line of text is set.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Type {
    pub size_px: f64,
    pub bold: bool,
    pub ink: Ink,
    pub anchor: Anchor,
}

impl Type {
    pub(crate) fn plain(size_px: f64) -> Self {
        Self { size_px, bold: false, ink: Ink::Text, anchor: Anchor::Start }
    }

    pub(crate) fn bold(self) -> Self {
        Self { bold: true, ..self }
    }

    pub(crate) fn ink(self, ink: Ink) -> Self {
        Self { ink, ..self }
    }

    pub(crate) fn anchor(self, anchor: Anchor) -> Self {
        Self { anchor, ..self }
    }
}

/// A straight line from one point to another, px.
pub(crate) type Stroke = ((f64, f64), (f64, f64));

/// The body of a picture under way.
pub(crate) struct Svg {
    look: Look,
    body: String,
    open: Vec<&'static str>,
    strips: Vec<(f64, f64)>,
}

impl Svg {
    pub(crate) fn new(look: &Look) -> Self {
        Self { look: look.clone(), body: String::new(), open: Vec::new(), strips: Vec::new() }
    }

    pub(crate) fn look(&self) -> &Look {
        &self.look
    }

    /// Notes that the axis of time is drawn from one height to another.
    pub(crate) fn strip(&mut self, top_px: f64, bottom_px: f64) {
        self.strips.push((top_px, bottom_px));
    }

    /// Heights at which the axis of time is drawn.
    pub(crate) fn strips(&self) -> &[(f64, f64)] {
        &self.strips
    }

    /// An id inside this picture.
    pub(crate) fn id(&self, part: &str) -> String {
        format!("{}-{part}", self.look.id)
    }

    /// A reference to a pattern of this picture, as a paint.
    pub(crate) fn pattern_paint(&self, part: &str) -> String {
        format!("url(#{})", self.id(part))
    }

    pub(crate) fn leaf(&mut self, tag: Tag) {
        if tag.sound {
            let _ = writeln!(self.body, "<{}{}/>", tag.name, tag.attributes);
        }
    }

    pub(crate) fn open(&mut self, tag: Tag) {
        let _ = writeln!(self.body, "<{}{}>", tag.name, tag.attributes);
        self.open.push(tag.name);
    }

    pub(crate) fn close(&mut self) {
        if let Some(name) = self.open.pop() {
            let _ = writeln!(self.body, "</{name}>");
        }
    }

    /// A line of text; ordinary size and ink are those of the whole picture and not written again.
    pub(crate) fn text(&mut self, x_px: f64, y_px: f64, set: Type, content: &str) {
        let mut tag = Tag::new("text").px("x", x_px).px("y", y_px);
        if (set.size_px - self.look.font_px()).abs() > 1e-9 {
            tag = tag.num("font-size", set.size_px);
        }
        if set.bold {
            tag = tag.set("font-weight", "bold");
        }
        tag = match set.anchor {
            Anchor::Start => tag,
            Anchor::Middle => tag.set("text-anchor", "middle"),
            Anchor::End => tag.set("text-anchor", "end"),
        };
        if set.ink != Ink::Text {
            tag = tag.set("fill", &self.look.paint(set.ink));
        }
        if tag.sound {
            let _ = writeln!(self.body, "<text{}>{}</text>", tag.attributes, escaped(content));
        }
    }

    pub(crate) fn line(&mut self, from: (f64, f64), to: (f64, f64), ink: Ink, width_px: f64, dash: Option<&str>) {
        let mut tag = Tag::new("line").px("x1", from.0).px("y1", from.1).px("x2", to.0).px("y2", to.1);
        tag = tag.stroke(&self.look.paint(ink), width_px);
        if let Some(dash) = dash {
            tag = tag.set("stroke-dasharray", dash);
        }
        self.leaf(tag);
    }

    /// Lines that look alike, as one path.
    pub(crate) fn lines(&mut self, ends: &[Stroke], ink: Ink, width_px: f64) {
        let d: String = ends.iter().map(|(from, to)| path_data(&[*from, *to], false)).collect();
        if !d.is_empty() {
            self.leaf(Tag::new("path").set("d", &d).stroke(&self.look.paint(ink), width_px));
        }
    }

    /// A rectangle by its left upper corner and size.
    pub(crate) fn rect(&mut self, corner: (f64, f64), size: (f64, f64), fill: &str) {
        self.leaf(rect_tag(corner, size).set("fill", fill));
    }

    /// A pattern of parallel strokes, as a paint under [`Svg::pattern_paint`].
    pub(crate) fn hatch(&mut self, part: &str, ink: Ink, pitch_px: f64, stroke_px: f64, angle_deg: f64) {
        let (id, colour) = (self.id(part), self.look.paint(ink));
        let tag = Tag::new("pattern").set("id", &id).set("patternUnits", "userSpaceOnUse");
        let tag = tag.num("width", pitch_px).num("height", pitch_px);
        self.open(tag.set("patternTransform", &format!("rotate({})", rounded(angle_deg, 2))));
        let middle = pitch_px / 2.0;
        let stroke = Tag::new("line").num("x1", 0.0).num("y1", middle).num("x2", pitch_px).num("y2", middle);
        self.leaf(stroke.stroke(&colour, stroke_px));
        self.close();
    }

    /// The whole picture, one thing to a screen reader.
    pub(crate) fn finish(self, height_px: f64, title: &str, description: &str) -> String {
        self.finish_as("img", height_px, title, description)
    }

    /// The whole picture in a role: `img`, or `group` where parts of it can be chosen.
    pub(crate) fn finish_as(mut self, role: &str, height_px: f64, title: &str, description: &str) -> String {
        while !self.open.is_empty() {
            self.close();
        }
        let (width, height) = (rounded(self.look.width_px, 1), rounded(height_px.ceil(), 1));
        let font_px = rounded(self.look.font_px(), 1);
        let (title_id, desc_id) = (self.id("title"), self.id("desc"));
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" width=\"{width}\" \
             height=\"{height}\" role=\"{role}\" aria-labelledby=\"{title_id} {desc_id}\" \
             font-family=\"system-ui, sans-serif\" font-size=\"{font_px}\" fill=\"{}\">\n\
             <title id=\"{title_id}\">{}</title>\n<desc id=\"{desc_id}\">{}</desc>\n\
             <rect width=\"{width}\" height=\"{height}\" fill=\"{}\"/>\n{}</svg>\n",
            escaped(&self.look.paint(Ink::Text)),
            escaped(title),
            escaped(description),
            escaped(&self.look.paint(Ink::Paper)),
            self.body
        )
    }
}

pub(crate) fn rect_tag(corner: (f64, f64), size: (f64, f64)) -> Tag {
    let tag = Tag::new("rect").px("x", corner.0).px("y", corner.1);
    tag.px("width", size.0.max(0.0)).px("height", size.1.max(0.0))
}

/// Path data through the points, which are all finite or the tag using it is dropped by its caller.
pub(crate) fn path_data(points: &[(f64, f64)], closed: bool) -> String {
    let mut out = String::new();
    for (x, y) in points.iter().filter(|(x, y)| x.is_finite() && y.is_finite()) {
        let step = if out.is_empty() { 'M' } else { 'L' };
        let _ = write!(out, "{step}{} {}", rounded(*x, 1), rounded(*y, 1));
    }
    if closed && !out.is_empty() {
        out.push('Z');
    }
    out
}

/// To so many decimals (at least one), without trailing zeros.
pub(crate) fn rounded(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// Fit for text and for attribute values; control characters, most of which XML 1.0 forbids, become U+FFFD.
pub(crate) fn escaped(raw: &str) -> String {
    let mut out = String::with_capacity(raw.len());
    for c in raw.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\t' | '\n' | '\r' => out.push(' '),
            '\u{fffe}' | '\u{ffff}' => out.push('\u{fffd}'),
            c if c.is_control() => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::theme::Mode;

    #[test]
    fn a_tag_with_a_figure_that_is_not_finite_is_left_out() {
        let mut svg = Svg::new(&Look::new(390.0, Mode::Light, "a"));
        svg.line((0.0, f64::NAN), (1.0, 1.0), Ink::Text, 1.0, None);
        svg.text(f64::INFINITY, 1.0, Type::plain(13.0), "gone");
        assert_eq!(svg.body, "");
    }

    #[test]
    fn text_is_escaped_and_open_tags_are_closed() {
        let mut svg = Svg::new(&Look::new(390.0, Mode::Light, "a"));
        svg.open(Tag::new("g"));
        svg.text(1.0, 2.0, Type::plain(13.0), "salt & <\"pepper\">\u{1}");
        let out = svg.finish(10.0, "t", "d");
        assert!(out.contains("salt &amp; &lt;&quot;pepper&quot;&gt;\u{fffd}</text>\n</g>\n</svg>"), "{out}");
    }

    #[test]
    fn figures_are_short() {
        assert_eq!(rounded(-0.001, 2), "0");
        assert_eq!(rounded(100.0, 2), "100");
        assert_eq!(rounded(12.345, 1), "12.3");
    }
}
