/** The scene of the studio, handed to the page once it is unpacked. */

import { Follower } from "../../studio/page/js/panels/following.js";
import { Scene } from "../../studio/page/js/scene/scene.js";

globalThis.slypeScene = { Scene, Follower };
