//! A reader strict enough to tell well-formed SVG from the rest, and to look at what stands where.

use std::collections::BTreeMap;

/// An element with its attributes and the text directly in it.
#[derive(Debug, Clone)]
pub struct Element {
    pub name: String,
    pub attributes: BTreeMap<String, String>,
    pub text: String,
    /// Inside a pattern: in the pattern's own coordinates.
    pub in_pattern: bool,
}

impl Element {
    pub fn number(&self, attribute: &str) -> f64 {
        self.attributes.get(attribute).map_or(0.0, |v| v.parse().unwrap_or_else(|_| panic!("{attribute} of {self:?}")))
    }

    pub fn has(&self, attribute: &str, value: &str) -> bool {
        self.attributes.get(attribute).is_some_and(|v| v == value)
    }
}

/// All elements in document order, or what is wrong.
pub fn read(document: &str) -> Result<Vec<Element>, String> {
    let (mut elements, mut open): (Vec<Element>, Vec<usize>) = (Vec::new(), Vec::new());
    let mut rest = document;
    while let Some(start) = rest.find('<') {
        let text = &rest[..start];
        check_text(text)?;
        if let Some(at) = open.last() {
            elements[*at].text.push_str(text);
        } else if !text.trim().is_empty() {
            return Err(format!("text outside the root: {text}"));
        }
        let end = start + rest[start..].find('>').ok_or("a tag without end")?;
        let tag = &rest[start + 1..end];
        rest = &rest[end + 1..];
        if let Some(name) = tag.strip_prefix('/') {
            let at = open.pop().ok_or(format!("</{name}> closes nothing"))?;
            if elements[at].name != name {
                return Err(format!("</{name}> closes <{}>", elements[at].name));
            }
            continue;
        }
        if open.is_empty() && !elements.is_empty() {
            return Err("a second root".to_owned());
        }
        let (body, closed) = tag.strip_suffix('/').map_or((tag, false), |t| (t, true));
        let in_pattern = open.iter().any(|at| elements[*at].name == "pattern");
        let mut element = attributes(body)?;
        element.in_pattern = in_pattern;
        if let (Some(root), "text") = (elements.first(), element.name.as_str()) {
            // Inherited, as a reader of SVG does.
            let size = root.attributes.get("font-size").cloned().unwrap_or_default();
            element.attributes.entry("font-size".to_owned()).or_insert(size);
        }
        if !closed {
            open.push(elements.len());
        }
        elements.push(element);
    }
    if open.is_empty() && rest.trim().is_empty() { Ok(elements) } else { Err("open at the end".to_owned()) }
}

fn attributes(body: &str) -> Result<Element, String> {
    let (name, mut rest) = body.split_once(' ').unwrap_or((body, ""));
    let mut attributes = BTreeMap::new();
    while !rest.trim().is_empty() {
        let (key, after) = rest.split_once("=\"").ok_or(format!("an attribute without value in <{body}>"))?;
        let (value, after) = after.split_once('"').ok_or(format!("an open quote in <{body}>"))?;
        check_text(value)?;
        if attributes.insert(key.trim().to_owned(), value.to_owned()).is_some() {
            return Err(format!("{key} twice in <{body}>"));
        }
        rest = after;
    }
    Ok(Element { name: name.to_owned(), attributes, text: String::new(), in_pattern: false })
}

fn check_text(text: &str) -> Result<(), String> {
    if text.chars().any(|c| c.is_control() && c != '\n') {
        return Err(format!("a control character in {text:?}"));
    }
    for after in text.split('&').skip(1) {
        if !["amp;", "lt;", "gt;", "quot;"].iter().any(|e| after.starts_with(e)) {
            return Err(format!("a bare & in {text:?}"));
        }
    }
    Ok(())
}

/// All that must hold for every picture: well-formed, finite figures, ids once, everything inside the view box.
pub fn check_picture(svg: &str) -> Vec<Element> {
    check_as("img", svg)
}

/// The same for a picture parts of which can be chosen.
pub fn check_group(svg: &str) -> Vec<Element> {
    check_as("group", svg)
}

fn check_as(role: &str, svg: &str) -> Vec<Element> {
    let elements = read(svg).unwrap_or_else(|e| panic!("{e}\n{svg}"));
    let root = &elements[0];
    assert_eq!(root.name, "svg");
    assert!(root.has("role", role));
    assert!(elements.iter().any(|e| e.name == "title") && elements.iter().any(|e| e.name == "desc"));
    let (width, height) = (root.number("width"), root.number("height"));
    assert_eq!(root.attributes["viewBox"], format!("0 0 {width} {height}"));
    let mut ids: Vec<&String> = elements.iter().filter_map(|e| e.attributes.get("id")).collect();
    let count = ids.len();
    ids.sort();
    ids.dedup();
    assert_eq!(ids.len(), count, "an id twice");
    for element in elements.iter().filter(|e| !e.in_pattern) {
        check_figures(element);
        check_inside(element, width, height);
    }
    elements
}

/// No two lines of text lie on each other.
pub fn check_words_apart(elements: &[Element]) {
    let texts: Vec<&Element> = elements.iter().filter(|e| e.name == "text" && !e.text.trim().is_empty()).collect();
    for (i, a) in texts.iter().enumerate() {
        for b in &texts[i + 1..] {
            let ((left, right), (from, to)) = (text_ends(a), text_ends(b));
            let apart_px = (a.number("y") - b.number("y")).abs();
            assert!(right <= from || to <= left || apart_px >= 11.5, "{a:?} on {b:?}");
        }
    }
}

fn check_figures(element: &Element) {
    for (key, value) in &element.attributes {
        let figures = ["x", "y", "x1", "x2", "y1", "y2", "width", "height", "r", "cx", "cy", "d", "font-size"];
        if figures.contains(&key.as_str()) {
            let lower = value.to_lowercase();
            assert!(!lower.contains("nan") && !lower.contains("inf"), "{key}={value}");
        }
    }
}

fn check_inside(element: &Element, width: f64, height: f64) {
    let (left, right) = match element.name.as_str() {
        "text" => text_ends(element),
        "rect" => (element.number("x"), element.number("x") + element.number("width")),
        "line" => {
            let (a, b) = (element.number("x1"), element.number("x2"));
            (a.min(b), a.max(b))
        }
        "path" => {
            for (x, y) in points(&element.attributes["d"]) {
                assert!((-0.01..=width + 0.01).contains(&x) && (-0.01..=height + 0.01).contains(&y), "{element:?}");
            }
            return;
        }
        _ => return,
    };
    assert!(left >= -0.01 && right <= width + 0.01, "{left}..{right} of {width}: {element:?}");
    let y = element.number("y").max(element.number("y2"));
    assert!(y >= -0.01 && y <= height + 0.01, "{y} of {height}: {element:?}");
}

/// Ends of a text in a common sans-serif: 0.36 of the size for thin characters, 0.6 for others, bold a tenth more.
pub fn text_ends(element: &Element) -> (f64, f64) {
    let text = element.text.replace("&amp;", "&").replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"");
    let bold = if element.has("font-weight", "bold") { 1.1 } else { 1.0 };
    let em = |c: char| if "ijlftr.,:;|'! \u{a0}()-".contains(c) { 0.36 } else { 0.6 };
    let width = text.chars().map(em).sum::<f64>() * element.number("font-size") * bold;
    let x = element.number("x");
    match element.attributes.get("text-anchor").map(String::as_str) {
        Some("middle") => (x - width / 2.0, x + width / 2.0),
        Some("end") => (x - width, x),
        _ => (x, x + width),
    }
}

/// The points of path data made of M, L and Z.
pub fn points(d: &str) -> Vec<(f64, f64)> {
    d.split(['M', 'L', 'Z'])
        .filter(|p| !p.is_empty())
        .map(|p| {
            let (x, y) = p.split_once(' ').unwrap();
            (x.parse().unwrap(), y.parse().unwrap())
        })
        .collect()
}
