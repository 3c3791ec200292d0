// Written by `cargo run -p plugwright-demo-pictures`: what the program has built in.
&[
    ("ostrel.plug.ron", include_bytes!("ostrel.plug.ron")),
    ("pictures/face-aed7ba82.jpg", include_bytes!("pictures/face-aed7ba82.jpg")),
    ("pictures/side-e394a15b.jpg", include_bytes!("pictures/side-e394a15b.jpg")),
    ("pictures/three-quarter-316863c6.jpg", include_bytes!("pictures/three-quarter-316863c6.jpg")),
]
