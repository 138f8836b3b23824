// Signed distances of pairs of bodies by FCL, for a test of ours. Reads two bodies a line: kind
// (0 box, 1 capsule, 2 cylinder, 3 a box whose far end in x is half as high), place, axes x, y, z,
// half lengths; answers a distance a line.
//   nearness meshes   reads a mesh (numbers of corners and triangles, corners, triangles), then other
//                     meshes, each with the number of its poses and these (place, axes); answers a
//                     distance a line, 0 where their surfaces meet
#include <fcl/geometry/bvh/BVH_model.h>
#include <fcl/geometry/shape/box.h>
#include <fcl/geometry/shape/capsule.h>
#include <fcl/geometry/shape/convex.h>
#include <fcl/geometry/shape/cylinder.h>
#include <fcl/narrowphase/distance.h>

#include <cstdio>
#include <memory>
#include <vector>

using fcl::CollisionObjectd;

static std::shared_ptr<fcl::CollisionGeometryd> wedge(double x, double y, double z)
{
    auto at = std::make_shared<std::vector<fcl::Vector3d>>();
    for (int k = 0; k < 8; k++)
        at->push_back({k & 1 ? x : -x, k & 2 ? y : -y, (k & 4 ? z : -z) * (k & 1 ? 0.5 : 1)});
    auto face = std::make_shared<std::vector<int>>(
        std::vector<int>{4, 0, 4, 6, 2, 4, 1, 3, 7, 5, 4, 0, 1, 5, 4,
                         4, 2, 6, 7, 3, 4, 0, 2, 3, 1, 4, 4, 5, 7, 6});
    return std::make_shared<fcl::Convexd>(at, 6, face);
}

static bool read_pose(fcl::Transform3d *at)
{
    bool ok = true;
    double v[12];
    for (double &x : v) ok = ok && std::scanf("%lf", &x) == 1;
    *at = fcl::Transform3d::Identity();
    for (int i = 0; i < 3 && ok; i++) {
        at->translation()[i] = v[i];
        for (int k = 0; k < 3; k++) at->linear()(i, k) = v[3 + 3 * k + i];
    }
    return ok;
}

static std::shared_ptr<CollisionObjectd> read(bool *ok)
{
    int kind;
    double v[3];
    fcl::Transform3d at;
    *ok = std::scanf("%d", &kind) == 1 && read_pose(&at);
    for (double &x : v) *ok = *ok && std::scanf("%lf", &x) == 1;
    if (!*ok) return nullptr;
    std::shared_ptr<fcl::CollisionGeometryd> shape;
    if (kind == 0) shape = std::make_shared<fcl::Boxd>(2 * v[0], 2 * v[1], 2 * v[2]);
    if (kind == 1) shape = std::make_shared<fcl::Capsuled>(v[0], 2 * v[2]);
    if (kind == 2) shape = std::make_shared<fcl::Cylinderd>(v[0], 2 * v[2]);
    if (kind == 3) shape = wedge(v[0], v[1], v[2]);
    return std::make_shared<CollisionObjectd>(shape, at);
}

// Its signed distance: the simplex walk apart, an expanding polytope together.
static double judge(const CollisionObjectd *a, const CollisionObjectd *b)
{
    fcl::DistanceRequestd ask;
    ask.enable_nearest_points = true;
    ask.enable_signed_distance = true;
    ask.gjk_solver_type = fcl::GST_LIBCCD;
    ask.distance_tolerance = 1e-7;
    fcl::DistanceResultd got;
    return fcl::distance(a, b, ask, got);
}

static std::shared_ptr<fcl::BVHModel<fcl::OBBRSSd>> read_mesh()
{
    std::size_t verts, tris;
    if (std::scanf("%zu %zu", &verts, &tris) != 2) return nullptr;
    std::vector<fcl::Vector3d> vert(verts);
    std::vector<fcl::Triangle> tri(tris);
    for (auto &v : vert)
        if (std::scanf("%lf %lf %lf", &v[0], &v[1], &v[2]) != 3) return nullptr;
    for (auto &t : tri)
        if (std::scanf("%zu %zu %zu", &t[0], &t[1], &t[2]) != 3) return nullptr;
    auto mesh = std::make_shared<fcl::BVHModel<fcl::OBBRSSd>>();
    mesh->beginModel();
    mesh->addSubModel(vert, tri);
    mesh->endModel();
    return mesh;
}

static bool distances(const CollisionObjectd &still)
{
    auto mesh = read_mesh();
    int poses;
    if (!mesh || std::scanf("%d", &poses) != 1) return false;
    CollisionObjectd moved(mesh);
    for (int i = 0; i < poses; i++) {
        fcl::Transform3d at;
        if (!read_pose(&at)) return false;
        moved.setTransform(at);
        fcl::DistanceRequestd ask;
        fcl::DistanceResultd got;
        fcl::distance(&moved, &still, ask, got);
        std::printf("%.17g\n", got.min_distance > 0 ? got.min_distance : 0);
    }
    return true;
}

static int meshes()
{
    auto mesh = read_mesh();
    if (!mesh) return 1;
    CollisionObjectd still(mesh);
    while (distances(still)) {}
    return std::feof(stdin) ? 0 : 1;
}

int main(int argc, char **)
{
    bool ok = true;
    if (argc > 1) return meshes();
    for (;;) {
        auto a = read(&ok);
        if (!ok) return 0;
        auto b = read(&ok);
        if (!ok) return 1;
        std::printf("%.17g\n", judge(a.get(), b.get()));
    }
}
