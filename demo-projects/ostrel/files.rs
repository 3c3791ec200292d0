// Written by `cargo run -p plugwright-demo-pictures`: what the program has built in.
&[
    ("ostrel.plug.ron", include_bytes!("ostrel.plug.ron")),
    ("pictures/face-1622b114.jpg", include_bytes!("pictures/face-1622b114.jpg")),
    ("pictures/side-7c44ceac.jpg", include_bytes!("pictures/side-7c44ceac.jpg")),
    ("pictures/three-quarter-d14cfb24.jpg", include_bytes!("pictures/three-quarter-d14cfb24.jpg")),
]
