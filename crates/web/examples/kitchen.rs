use ovenfall_store::Store;
use ovenfall_web::{Access, App, Demo, Reach, router};
use std::sync::Arc;
#[tokio::main]
async fn main() {
    let a: Vec<String> = std::env::args().collect();
    let store = Arc::new(Store::open(std::path::Path::new(&a[1])).unwrap());
    let access = Arc::new(Access::new(Reach::Loopback, store.screens().unwrap(), &mut rand::rng()));
    let demo = Demo::seed(&store, jiff::Timestamp::now()).unwrap();
    let app = App::new(store, access, Arc::new(jiff::Timestamp::now)).with_demo(demo);
    tokio::spawn(ovenfall_web::background::run(app.clone()));
    let l = tokio::net::TcpListener::bind(format!("127.0.0.1:{}", a[2])).await.unwrap();
    axum::serve(l, router(app)).await.unwrap();
}
